import { transformMesh } from '../affine.ts';
import { downOfTurn } from '../drainage/downOfTurn.ts';
import { type Interrupter, portion } from '../interrupter.ts';
import { joinLayerSlices, type MeasuredLayers } from '../layers/joinLayerSlices.ts';
import type { Island } from '../layers/layerFigures.ts';
import type { LayerOptions } from '../layers/layerOptions.ts';
import { measureLayerRange } from '../layers/measureLayerRange.ts';
import { sweepCups } from '../layers/sweepCups.ts';
import type { VoidGraph } from '../layers/voidGraph.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { rotationOf } from '../mesh/rotationOf.ts';
import type { Lattice } from '../rays/lattice.ts';
import { latticeFor } from '../rays/latticeFor.ts';
import { farthestLean } from '../supports/routeStrut.ts';
import { type Box, scale, type Vec3 } from '../vector.ts';
import { overhangArea } from './facingAreas.ts';
import { type HeldSurface, heldSurface } from './heldSurface.ts';
import { openingsAway } from './openingsAway.ts';
import { plateFit } from './plateFit.ts';
import type { PoseFigures } from './poseFigures.ts';
import type { PoseSubject } from './poseSubject.ts';
import type { SupportRoom } from './supportRoom.ts';
import type { Tilt } from './tilt.ts';

/** What a pose is measured against. */
export interface PoseSetting {
  /** mm along x, y and z that the machine has, margins taken off. */
  readonly room: Vec3;
  /** At least so high above the plate, mm. */
  readonly raiseMm: number;
  readonly supports: SupportRoom;
  /** mm; what lies within one layer of the lowest point lies on the plate. */
  readonly layerMm: number;
  readonly layers: LayerOptions;
  /** kPa. */
  readonly peel: number;
  /** Rows and layers of the grid, mm. */
  readonly stepMm: number;
}

/**
 * A pose of a part: tilted, and turned about z as the plate asks or as is told. Skin and hollow
 * are cast one by one, so that neither need be so fine that they never touch: a limb of the hollow that
 * starts is an island of the hollow, and solid that starts within it is a void of it.
 *
 * A part that is not raised and whose contact with the plate holds its own pull stands as it is; any other gets the
 * room that raft and tips need under it.
 */
export function measurePose(
  subject: PoseSubject,
  tilt: Tilt,
  setting: PoseSetting,
  interrupter: Interrupter,
): PoseFigures {
  const skin = turned(subject.skin, [tilt[0], tilt[1], 0]);
  const { layerMm, layers, raiseMm, supports } = setting;
  const held = heldSurface(skin, layerMm, layers.selfSupportDeg);
  const posed = { ...subject, skin, tilt, held };
  const contactMm2 = raiseMm > 0 ? 0 : held.contactMm2;
  if (contactMm2 > 0) {
    const standing = measureRaised(posed, 0, setting, portion(interrupter, 0, 0.5));
    if (standing.peakPullN <= contactMm2 * supports.holdN) return standing;
  }
  return measureRaised(posed, Math.max(raiseMm, supports.raiseMm), setting, interrupter);
}

/** A subject in one pose: its skin turned, and what of that is held. */
interface PosedSubject extends PoseSubject {
  readonly tilt: Tilt;
  readonly held: HeldSurface;
}

function measureRaised(
  subject: PosedSubject,
  raiseMm: number,
  setting: PoseSetting,
  interrupter: Interrupter,
): PoseFigures {
  const { skin, held } = subject;
  const [turnX, turnY, turnZ] = subject.tilt;
  const upright: Vec3 = [turnX, turnY, 0];
  const { min, max } = boundsOf(skin.positions);
  // Under a raised part is a layer of air; one that stands on the plate begins with its own.
  const below = raiseMm > 0 ? setting.stepMm : 0;
  const top = max[2] - min[2] + below;
  const lattice = latticeFor({ min, max: [max[0], max[1], top] }, setting.stepMm, setting.stepMm);
  const onPart = { ...lattice, z0: min[2] - below };
  const outside = measured(skin, onPart, setting.layers, interrupter);
  const inside =
    subject.cavity && measured(turned(subject.cavity, upright), onPart, setting.layers, interrupter);
  const solidMm2 = outside.figures.area.map((area, layer) => area - (inside?.figures.area[layer] ?? 0));
  const [roomX, roomY, roomZ] = setting.room;
  const fit = plateFit(turnedPoints(subject.hull, upright), [roomX, roomY, roomZ - raiseMm], turnZ ?? null, {
    points: leanedIn(
      placesToHold(held, raiseMm > 0, outside.figures.islands),
      { min, max },
      min[2] - raiseMm,
    ),
    reachMm: setting.supports.reachMm,
  });
  const up = scale(downOfTurn(upright), -1);
  const overhang = (of: PoseSubject['facing']): number => overhangArea(of, up, setting.layers.selfSupportDeg);
  // What stands on the plate needs no support.
  const onPlateMm2 = raiseMm > 0 ? 0 : (outside.figures.area[0] ?? 0);
  return {
    turn: [turnX, turnY, fit.turnZ],
    fit,
    raiseMm,
    heightMm: fit.sizeMm[2] + raiseMm,
    islands: outside.figures.islands.length + (inside === null ? 0 : closedStarts(inside.graph)),
    overhangMm2: Math.max(0, overhang(subject.facing) - onPlateMm2),
    shownOverhangMm2: subject.shown === null ? 0 : overhang(subject.shown),
    peakPullN: setting.peel * 1e-3 * solidMm2.reduce((most, area) => Math.max(most, area), 0),
    jumpN: setting.peel * 1e-3 * greatestRise(solidMm2, setting.stepMm),
    cups: (inside?.figures.islands.length ?? 0) + closedStarts(outside.graph),
    floorMm2: inside === null ? 0 : greatestRise(inside.figures.area, setting.stepMm),
    openingsMm: openingsAway(subject.openings, up),
  };
}

/** The places moved toward the part's middle as far as a strut from there may lean: its foot needs no more room. */
function leanedIn(places: Float64Array, { min, max }: Box, plateZ: number): Float64Array {
  const [middleX, middleY] = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2];
  for (let at = 0; at < places.length; at += 3) {
    const [x, y] = [places[at]! - middleX, places[at + 1]! - middleY];
    const left = Math.max(0, 1 - farthestLean(places[at + 2]! - plateZ) / (Math.hypot(x, y) || 1));
    places[at] = middleX + left * x;
    places[at + 1] = middleY + left * y;
  }
  return places;
}

/** Where tips are wanted, x, y, z each: under what hangs, and under what starts however steep it is there. */
function placesToHold(
  { hanging, contact }: HeldSurface,
  isRaised: boolean,
  islands: readonly Island[],
): Float64Array {
  const starts = islands.flatMap(({ at }) => at);
  const under = isRaised ? contact : new Float64Array(0);
  const places = new Float64Array(hanging.length + under.length + starts.length);
  places.set(hanging);
  places.set(under, hanging.length);
  places.set(starts, hanging.length + under.length);
  return places;
}

function measured(
  mesh: Mesh,
  lattice: Lattice,
  options: LayerOptions,
  interrupter: Interrupter,
): MeasuredLayers {
  const input = { lattice, skin: mesh, cavity: null };
  const slice = measureLayerRange(input, 0, lattice.layers, options, interrupter);
  return joinLayerSlices(lattice, [slice], options);
}

/** Voids that are closed towards the plate where they begin, as printed so far. */
function closedStarts(graph: VoidGraph): number {
  const starts = sweepCups(graph, [])
    .flatMap(({ states }) => states)
    .filter(({ joined, layer, floorLayer }) => !joined && layer === floorLayer);
  return new Set(starts.map(({ limb }) => limb)).size;
}

/** By how much layers `stepMm` apart grow at most within a millimetre. */
function greatestRise(areas: Float64Array, stepMm: number): number {
  const span = Math.max(1, Math.round(1 / stepMm));
  return areas.reduce((most, area, layer) => Math.max(most, area - (areas[layer - span] ?? 0)), 0);
}

const turned = (mesh: Mesh, turn: Vec3): Mesh =>
  transformMesh(mesh, { linear: [...rotationOf(turn)], shift: [0, 0, 0] });

function turnedPoints(points: PoseSubject['hull'], turn: Vec3): Float64Array {
  const m = rotationOf(turn);
  const out = new Float64Array(points.length);
  for (let at = 0; at < points.length; at += 3) {
    for (let row = 0; row < 3; row++) {
      out[at + row] =
        m[3 * row]! * points[at]! + m[3 * row + 1]! * points[at + 1]! + m[3 * row + 2]! * points[at + 2]!;
    }
  }
  return out;
}

import { transformMesh } from '../affine.ts';
import { downOfTurn } from '../drainage/downOfTurn.ts';
import type { Interrupter } from '../interrupter.ts';
import { joinLayerSlices, type MeasuredLayers } from '../layers/joinLayerSlices.ts';
import type { LayerOptions } from '../layers/layerOptions.ts';
import { measureLayerRange } from '../layers/measureLayerRange.ts';
import { sweepCups } from '../layers/sweepCups.ts';
import type { VoidGraph } from '../layers/voidGraph.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { rotationOf } from '../mesh/rotationOf.ts';
import type { Lattice } from '../rays/lattice.ts';
import { latticeFor } from '../rays/latticeFor.ts';
import { scale, type Vec3 } from '../vector.ts';
import { overhangArea } from './facingAreas.ts';
import { plateFit } from './plateFit.ts';
import type { PoseFigures } from './poseFigures.ts';
import type { PoseSubject } from './poseSubject.ts';
import type { Tilt } from './tilt.ts';

/** What a pose is measured against. */
export interface PoseSetting {
  /** mm along x, y and z that the part may take, margins and `raise` taken off. */
  readonly room: Vec3;
  readonly raiseMm: number;
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
 */
export function measurePose(
  subject: PoseSubject,
  [turnX, turnY, turnZ]: Tilt,
  setting: PoseSetting,
  interrupter: Interrupter,
): PoseFigures {
  const upright: Vec3 = [turnX, turnY, 0];
  const fit = plateFit(turnedPoints(subject.hull, upright), setting.room, turnZ ?? null);
  const skin = turned(subject.skin, upright);
  const { min, max } = boundsOf(skin.positions);
  // Under a raised part is a layer of air; one that stands on the plate begins with its own.
  const below = setting.raiseMm > 0 ? setting.stepMm : 0;
  const top = max[2] - min[2] + below;
  const lattice = latticeFor({ min, max: [max[0], max[1], top] }, setting.stepMm, setting.stepMm);
  const onPart = { ...lattice, z0: min[2] - below };
  const outside = measured(skin, onPart, setting.layers, interrupter);
  const inside =
    subject.cavity && measured(turned(subject.cavity, upright), onPart, setting.layers, interrupter);
  const solidMm2 = outside.figures.area.map((area, layer) => area - (inside?.figures.area[layer] ?? 0));
  const up = scale(downOfTurn(upright), -1);
  const overhang = (of: PoseSubject['facing']): number => overhangArea(of, up, setting.layers.selfSupportDeg);
  // What stands on the plate needs no support.
  const onPlateMm2 = setting.raiseMm > 0 ? 0 : (outside.figures.area[0] ?? 0);
  return {
    turn: [turnX, turnY, fit.turnZ],
    fit,
    heightMm: fit.sizeMm[2] + setting.raiseMm,
    islands: outside.figures.islands.length + (inside === null ? 0 : closedStarts(inside.graph)),
    overhangMm2: Math.max(0, overhang(subject.facing) - onPlateMm2),
    shownOverhangMm2: subject.shown === null ? 0 : overhang(subject.shown),
    peakPullN: setting.peel * 1e-3 * solidMm2.reduce((most, area) => Math.max(most, area), 0),
    jumpN: setting.peel * 1e-3 * greatestRise(solidMm2, setting.stepMm),
    cups: (inside?.figures.islands.length ?? 0) + closedStarts(outside.graph),
    floorMm2: inside === null ? 0 : greatestRise(inside.figures.area, setting.stepMm),
  };
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

import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { boundsOfRuns } from '../../../src/core/rays/voidRuns.ts';
import { type ContactPlaces, chooseContacts } from '../../../src/core/supports/chooseContacts.ts';
import { findHanging } from '../../../src/core/supports/findHanging.ts';
import { growPart } from '../../../src/core/supports/growPart.ts';
import type { ChosenContacts } from '../../../src/core/supports/loadLog.ts';
import type { PartGrowth } from '../../../src/core/supports/partGrowth.ts';
import type { SupportInput } from '../../../src/core/supports/planSupports.ts';
import type { Route } from '../../../src/core/supports/routeStrut.ts';
import type { SupportDecision } from '../../../src/core/supports/supportDecision.ts';
import type { SupportedSolid } from '../../../src/core/supports/supportedSolid.ts';
import type { SupportPlan } from '../../../src/core/supports/supportPlan.ts';
import type { SupportSetting } from '../../../src/core/supports/supportSetting.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { plannedAtOnce } from '../../plannedAtOnce.ts';
import * as shapes from '../../shapes.ts';
import { solidOf } from '../layers/printing.ts';

export const setting: SupportSetting = {
  tipMm: 0.4,
  widestTipMm: 1.2,
  spacingMm: 4,
  strutMm: 1,
  selfSupportDeg: 19,
  leastMm2: 0.1,
  peel: 10,
  plateHold: 100,
  greenStrength: 15,
  greenModulus: 800,
  safety: 1,
  density: 1.18,
};

export function solidAt(mesh: Mesh, dy = 0.2, dz = 0.1): SupportedSolid {
  const solid = solidOf(mesh, dy, dz);
  const { lattice, offsets, ends } = solid;
  const rows = { offsets, ends, base: 0 };
  return { solid: { lattice, blocks: [{ from: 0, to: lattice.layers, rows }] }, ...boundsOfRuns(solid) };
}

/** The manifest's own defaults. */
export const decision: SupportDecision = {
  tip: 0.4,
  widestTip: 1.2,
  spacing: 4,
  strut: 1,
  plateHold: 100,
  safety: 1,
  raft: 1.2,
  raftLean: 45,
  byHand: [],
  keepFree: [],
};

/** Nothing shown, kept free or placed by hand. */
export const anywhere = {
  isShown: () => false,
  isKeptFree: () => false,
  byHand: [],
};

/** How a part grows, and where contacts are chosen for it. */
export type LoadLog = ChosenContacts & { readonly growth: PartGrowth };

export const logOf = (mesh: Mesh, change: Partial<SupportSetting> = {}): LoadLog =>
  logLoads(solidAt(mesh), { ...setting, ...change }, { ...anywhere, routeFrom: straightDown });

/** Places from which the ways are known. */
interface KnownWays extends Omit<ContactPlaces, 'wayFrom'> {
  routeFrom(at: Vec3, isStart: boolean): Route | null;
}

export function logLoads(part: SupportedSolid, by: SupportSetting, known: KnownWays): LoadLog {
  const places: ContactPlaces = {
    ...known,
    wayFrom: (at, isStart) => ({ route: known.routeFrom(at, isStart), offPlate: null }),
  };
  const growth = growPart(part, by.leastMm2, uninterrupted);
  const hanging = findHanging(part, growth, by.selfSupportDeg, uninterrupted);
  const chosen = chooseContacts({ solid: part.solid, growth, hanging }, by, places, uninterrupted);
  return { growth, ...chosen };
}

/** The merges of a layer. */
export const mergesIn = ({ mergeOffsets, merges }: PartGrowth, layer: number): number[][] =>
  Array.from({ length: mergeOffsets[layer + 1]! - mergeOffsets[layer]! }, (_, n) => {
    const at = 2 * (mergeOffsets[layer]! + n);
    return [merges[at]!, merges[at + 1]!];
  });

/** What pulls in a layer. */
export const loadsIn = ({ loadOffsets, loadBody, loads }: PartGrowth, layer: number) =>
  Array.from({ length: loadOffsets[layer + 1]! - loadOffsets[layer]! }, (_, n) => {
    const at = loadOffsets[layer]! + n;
    return { body: loadBody[at]!, areaMm2: loads[3 * at]!, x: loads[3 * at + 1]!, y: loads[3 * at + 2]! };
  });

/** The way to the plate, whatever is in it. */
export const straightDown = ([x, y, z]: Vec3): Route => ({
  line: [
    [x, y, z],
    [x, y, 0],
  ],
  stands: 'plate',
});

export function planOf(
  mesh: Mesh,
  change: Partial<SupportSetting> = {},
  suction = 0,
  own: Partial<Pick<SupportInput, 'byHand' | 'isKeptFree' | 'isShown'>> = {},
  known = false,
): SupportPlan {
  const part = solidAt(mesh);
  const suctionN = new Float64Array(part.solid.lattice.layers).fill(suction);
  const input = {
    suctionN,
    setting: { ...setting, ...change },
    ...anywhere,
    halfPlate: [96, 60] as const,
    raftMm: 1.2,
    ...own,
  };
  return plannedAtOnce(part, input, 4.2, uninterrupted, known);
}

const at = (mesh: Mesh, shift: readonly [number, number, number]): Mesh =>
  shapes.transformed(mesh, { shift });

/** A top of 40 × 30 × 4 mm from z = 25 on, on four legs of 4 × 4 mm that end at z = 5. */
export const table = shapes.join(
  at(shapes.box([40, 30, 4]), [0, 0, 27]),
  ...[-17, 17].flatMap((x) => [-12, 12].map((y) => at(shapes.box([4, 4, 22]), [x, y, 16]))),
);

import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { boundsOfRuns } from '../../../src/core/rays/voidRuns.ts';
import type { LoadLog } from '../../../src/core/supports/loadLog.ts';
import { logLoads, type SupportedSolid } from '../../../src/core/supports/logLoads.ts';
import { planSupports, type SupportInput } from '../../../src/core/supports/planSupports.ts';
import type { Route } from '../../../src/core/supports/routeStrut.ts';
import type { SupportDecision } from '../../../src/core/supports/supportDecision.ts';
import type { SupportPlan } from '../../../src/core/supports/supportPlan.ts';
import type { SupportSetting } from '../../../src/core/supports/supportSetting.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
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
export const anywhere = { isShown: () => false, isKeptFree: () => false, byHand: [] };

export const logOf = (mesh: Mesh, change: Partial<SupportSetting> = {}): LoadLog =>
  logLoads(solidAt(mesh), { ...setting, ...change }, { ...anywhere, routeFrom: straightDown }, uninterrupted);

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
): SupportPlan {
  const part = solidAt(mesh);
  const suctionN = new Float64Array(part.solid.lattice.layers).fill(suction);
  const halfPlate = [96, 60] as const;
  const input = {
    part,
    suctionN,
    setting: { ...setting, ...change },
    ...anywhere,
    halfPlate,
    foot: { heightMm: 1.2, radiusMm: 4.2 },
    ...own,
  };
  return planSupports(input, uninterrupted);
}

const at = (mesh: Mesh, shift: readonly [number, number, number]): Mesh =>
  shapes.transformed(mesh, { shift });

/** A top of 40 × 30 × 4 mm from z = 25 on, on four legs of 4 × 4 mm that end at z = 5. */
export const table = shapes.join(
  at(shapes.box([40, 30, 4]), [0, 0, 27]),
  ...[-17, 17].flatMap((x) => [-12, 12].map((y) => at(shapes.box([4, 4, 22]), [x, y, 16]))),
);

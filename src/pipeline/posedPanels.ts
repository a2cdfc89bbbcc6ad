import { type Affine, applyAffine } from '../core/affine.ts';
import { limbHistories } from '../core/layers/limbHistory.ts';
import { regionsAt } from '../core/layers/regionsAt.ts';
import type { PosedPanel } from '../core/physics/wallLoads.ts';
import { add, scale, subtract, type Vec3 } from '../core/vector.ts';
import type { WallPanel } from '../core/walls/wallPanel.ts';
import type { LayeredPart } from './measureLayered.ts';

/** How far into the void in front of a panel its limb is looked for, mm, the nearest first. */
const INWARD_MM = [0.6, 1.5, 3];
/** Of the way from a panel's end to its middle: the void is looked up a little inside its rim. */
const INSIDE_RIM = 0.2;

/** Panels of a cavity as they stand in the print, with the limbs that load them. `toPrint` leads there from the cavity's own frame. */
export function posedPanels(
  panels: readonly WallPanel[],
  toPrint: Affine,
  { graph, solid, xLow, xHigh }: Pick<LayeredPart, 'graph' | 'solid' | 'xLow' | 'xHigh'>,
): PosedPanel[] {
  const posed = panels.map((panel) => posedPanel(panel, toPrint));
  const probes = posed.flatMap(({ probes: own }) => own);
  const points = probes.flatMap(({ at, outward }) =>
    INWARD_MM.map((inward) => subtract(at, scale(outward, inward))),
  );
  const regions = regionsAt(points, { solid, xLow, xHigh, regionStart: graph.regionStart });
  const found = probes.map((_, n) => {
    const first = n * INWARD_MM.length;
    const seen = regions.subarray(first, first + INWARD_MM.length);
    return seen.find((region) => region >= 0 && graph.enclosed[region] === 1) ?? -1;
  });
  const known = [...new Set(found.filter((region) => region >= 0))];
  const histories = new Map(limbHistories(graph, known).map((history, n) => [known[n]!, history]));
  let passed = 0;
  return posed.map(({ probes: own, ...panel }) => {
    const limbs = found.slice(passed, passed + own.length);
    passed += own.length;
    return { ...panel, limbs: [...new Set(limbs)].flatMap((region) => histories.get(region) ?? []) };
  });
}

interface Probe {
  readonly at: Vec3;
  readonly outward: Vec3;
}

/** With the places at which its void is looked up: its middle, and near its lowest and highest point. */
function posedPanel(
  panel: WallPanel,
  toPrint: Affine,
): Omit<PosedPanel, 'limbs'> & { readonly probes: readonly Probe[] } {
  const direction = { linear: toPrint.linear, shift: [0, 0, 0] } as const;
  const reach = panel.extremes.map((point) => applyAffine(toPrint, point));
  const outward = applyAffine(direction, panel.outward);
  const at = applyAffine(toPrint, panel.at);
  const lowest = reach.reduce((a, b) => (b[2] < a[2] ? b : a));
  const highest = reach.reduce((a, b) => (b[2] > a[2] ? b : a));
  const inside = (end: Vec3): Vec3 => add(end, scale(subtract(at, end), INSIDE_RIM));
  return {
    panel,
    at,
    outwardZ: outward[2],
    levelMm: Math.max(panel.spanMm, levelReach(reach, outward)),
    bottom: lowest[2],
    top: highest[2],
    probes: [at, inside(lowest), inside(highest)].map((place) => ({ at: place, outward })),
  };
}

/** How far points reach along the level line across a direction; 0 where it points straight up. */
function levelReach(points: readonly Vec3[], [x, y]: Vec3): number {
  const length = Math.hypot(x, y);
  if (length < 1e-6) return 0;
  const along = points.map((point) => (point[1] * x - point[0] * y) / length);
  return Math.max(...along) - Math.min(...along);
}

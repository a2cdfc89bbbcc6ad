import type { Vec3 } from '../vector.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';
import type { Flood, Outlet } from './floodBlocks.ts';

/** Liquid that runs off together: between two heights, top down, and what it parts into below. mm, mm³. */
export interface DrainPool {
  /** Mouths that the liquid can reach. */
  readonly mouths: readonly number[];
  readonly slices: readonly { readonly top: number; readonly bottom: number; readonly volumeMm3: number }[];
  readonly parts: readonly DrainPool[];
}

/** An outlet and the mouth it belongs to, by its number. */
export interface MouthOutlet extends Outlet {
  readonly mouth: number;
}

const SLICES = 48;

/**
 * What runs off after a flood, as pools: all mouths share the liquid above the height at which their
 * basins meet, and each empties its own below. Null when nothing runs off, or the basins never meet.
 */
export function drainPools(
  blocks: ChamberBlocks,
  flood: Flood,
  shares: Float64Array,
  outlets: readonly MouthOutlet[],
  up: Vec3,
): DrainPool | null {
  const basins = basinsOf(blocks, flood, shares, outlets, up);
  if (basins === null) return null;
  const groups = new Map<number, Group>();
  for (const basin of basins.owners) {
    groups.set(basin, { members: [basin], meetsAt: -Infinity, parts: [] });
  }
  let last: Group | null = [...groups.values()][0] ?? null;
  for (const { a, b, level } of meetings(blocks, flood, outlets)) {
    const [first, second] = [groups.get(a)!, groups.get(b)!];
    if (first === second) continue;
    last = { members: [...first.members, ...second.members], meetsAt: level, parts: [first, second] };
    for (const member of last.members) groups.set(member, last);
  }
  return last === null || last.members.length < basins.owners.length ? null : poolOf(last, Infinity, basins);
}

interface Group {
  readonly members: readonly number[];
  readonly meetsAt: number;
  readonly parts: readonly Group[];
}

interface Basins {
  /** Mouths with a basin of their own, and by mouth the owner of the basin it opens into. */
  readonly owners: readonly number[];
  readonly ownerOf: readonly number[];
  /** By mouth: where its own basin rests, and its volume by slice from the lowest. */
  readonly floor: readonly number[];
  readonly volumes: readonly Float64Array[];
  readonly from: number;
  readonly step: number;
}

function basinsOf(
  blocks: ChamberBlocks,
  { level, outlet }: Flood,
  shares: Float64Array,
  outlets: readonly MouthOutlet[],
  up: Vec3,
): Basins | null {
  const spans = nodeSpans(blocks, outlet, up);
  if (spans === null) return null;
  const { middles, halves, from, to } = spans;
  const step = (to - from) / SLICES;
  const count = Math.max(...outlets.map(({ mouth }) => mouth)) + 1;
  const floor = new Array<number>(count).fill(Infinity);
  const volumes = floor.map(() => new Float64Array(SLICES));
  for (let node = 0; node < outlet.length; node++) {
    if (outlet[node] === -1) continue;
    const { mouth } = outlets[outlet[node]!]!;
    floor[mouth] = Math.min(floor[mouth]!, level[node]!);
    const drained = blocks.volumeMm3[node]! * (1 - shares[node]!);
    const top = middles[node]! + halves[node]!;
    const bottom = Math.min(top - step / 8, Math.max(level[node]!, top - 2 * halves[node]!));
    spread(volumes[mouth]!, drained, (bottom - from) / step, (top - from) / step);
  }
  const owners = floor.flatMap((low, mouth) => (low === Infinity ? [] : [mouth]));
  const ownerOf = floor.map((low, mouth) => {
    if (low !== Infinity) return mouth;
    const dry = outlets.find((one) => one.mouth === mouth);
    const reached = dry === undefined ? -1 : outlet[dry.node]!;
    return reached === -1 ? -1 : outlets[reached]!.mouth;
  });
  return { owners, ownerOf, floor, volumes, from, step };
}

function nodeSpans({ centroid, halfSize }: ChamberBlocks, outlet: Int32Array, [x, y, z]: Vec3) {
  const middles = new Float64Array(outlet.length);
  const halves = new Float64Array(outlet.length);
  let from = Infinity;
  let to = -Infinity;
  for (let node = 0; node < outlet.length; node++) {
    if (outlet[node] === -1) continue;
    const at = 3 * node;
    middles[node] = x * centroid[at]! + y * centroid[at + 1]! + z * centroid[at + 2]!;
    halves[node] =
      Math.abs(x) * halfSize[at]! + Math.abs(y) * halfSize[at + 1]! + Math.abs(z) * halfSize[at + 2]!;
    from = Math.min(from, middles[node]! - halves[node]!);
    to = Math.max(to, middles[node]! + halves[node]!);
  }
  return to > from ? { middles, halves, from, to } : null;
}

/** Adds an amount evenly over a stretch of slices, told in slices from the lowest. */
function spread(slices: Float64Array, amount: number, from: number, to: number): void {
  for (let slice = Math.max(0, Math.floor(from)); slice < Math.min(SLICES, to); slice++) {
    const within = Math.min(to, slice + 1) - Math.max(from, slice);
    slices[slice]! += (amount * within) / (to - from);
  }
}

/** Where the basins of two mouths touch: the lowest level at which liquid passes, the lowest first. */
function meetings(
  { neighbour, neighbourStart }: ChamberBlocks,
  { level, outlet }: Flood,
  outlets: readonly MouthOutlet[],
): { a: number; b: number; level: number }[] {
  const lowest = new Map<string, { a: number; b: number; level: number }>();
  for (let node = 0; node < outlet.length; node++) {
    if (outlet[node] === -1) continue;
    const a = outlets[outlet[node]!]!.mouth;
    for (let entry = neighbourStart[node]!; entry < neighbourStart[node + 1]!; entry++) {
      const next = neighbour[entry]!;
      const b = outlets[outlet[next]!]!.mouth;
      if (b <= a) continue;
      const passes = Math.max(level[node]!, level[next]!);
      const known = lowest.get(`${a} ${b}`);
      if (known === undefined || passes < known.level) lowest.set(`${a} ${b}`, { a, b, level: passes });
    }
  }
  return [...lowest.values()].sort((p, q) => p.level - q.level || p.a - q.a || p.b - q.b);
}

function poolOf({ members, meetsAt, parts }: Group, top: number, basins: Basins): DrainPool {
  const { from, step, volumes, ownerOf } = basins;
  const floor = Math.min(...members.map((member) => basins.floor[member]!));
  const slices: { top: number; bottom: number; volumeMm3: number }[] = [];
  for (let slice = SLICES - 1; slice >= 0; slice--) {
    const bottom = from + slice * step;
    const middle = bottom + step / 2;
    if (middle > top || middle <= meetsAt) continue;
    const volumeMm3 = members.reduce((sum, member) => sum + volumes[member]![slice]!, 0);
    const least = Math.max(bottom, floor);
    if (volumeMm3 > 0)
      slices.push({ top: Math.max(bottom + step, least + step / 8), bottom: least, volumeMm3 });
  }
  return {
    mouths: ownerOf.flatMap((owner, mouth) => (members.includes(owner) ? [mouth] : [])),
    slices,
    parts: parts.map((part) => poolOf(part, meetsAt, basins)),
  };
}

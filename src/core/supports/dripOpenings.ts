import type { Interrupter } from '../interrupter.ts';
import { findRoot, joinSets } from '../unionFind.ts';
import { shareLeft } from './shareLeft.ts';

/** A foot of the raft. Print frame, mm. */
export interface RaftFoot {
  readonly x: number;
  readonly y: number;
  /** At the plate, and by how much more it is wide at the raft’s top. */
  readonly radiusMm: number;
  readonly lipMm: number;
  /** Width of the strut that stands on it. */
  readonly strutMm: number;
  /** The share of it, by area at the plate, that must be left for the plate to hold it. */
  readonly leastShare: number;
}

/** A foot ends at an upright plane: it keeps what has n·(x, y) of at least `least`; unit normal, mm. */
export interface FootTrim {
  readonly normal: readonly [number, number];
  readonly least: number;
}

/** Width of a drip opening, mm: common practice for gaps that resin is to run out of, no source. */
const OPENING_MM = 1;
/** A pocket smaller than this holds a drop at most and is left, mm²: engineering choice. */
const LEAST_POCKET_MM2 = 0.5;
const CELL_MM = 0.25;
/** Shares of the raft's height that are looked at. What is opened further up is open further down, too. */
const LEVELS = [0, 0.5, 1];
/** An opening that joins two pockets may have to be looked at again further up. */
const ROUNDS = 3;
const WAYS = 32;
/** Places of a pocket from which ways out are sought. */
const FROM_PLACES = 12;
/** How far a way out goes at most, mm: twice the widest foot with its lip, about. */
const FARTHEST_MM = 24;

/**
 * Where feet that have joined enclose a pocket, resin would stay there, and be pulled as by a cup, until the raft is
 * printed. A straight opening leads out of each pocket, or into the next one that is open, where it takes least of the
 * feet; no opening comes near a strut, or takes what the plate has to hold. A pocket that has none such stays closed. By
 * foot: the planes at which it ends.
 */
export function dripOpenings(feet: readonly RaftFoot[], interrupter: Interrupter): FootTrim[][] {
  const trims: FootTrim[][] = feet.map(() => []);
  for (const group of joinedFeet(feet)) {
    // Two round feet enclose nothing.
    if (group.length < 3) continue;
    for (const share of LEVELS) {
      for (let round = 0; round < ROUNDS; round++) {
        interrupter(share);
        if (!openPockets(feet, group, share, trims)) break;
      }
    }
  }
  return trims;
}

/** Feet that touch each other, in groups. */
function joinedFeet(feet: readonly RaftFoot[]): number[][] {
  const parent = Uint32Array.from(feet, (_, n) => n);
  const order = feet.map((_, n) => n).sort((a, b) => feet[a]!.x - feet[b]!.x);
  const widest = feet.reduce((most, foot) => Math.max(most, topRadius(foot)), 0);
  for (const [at, n] of order.entries()) {
    const foot = feet[n]!;
    for (let next = at + 1; next < order.length; next++) {
      const other = feet[order[next]!]!;
      if (other.x - foot.x > topRadius(foot) + widest) break;
      const apart = Math.hypot(other.x - foot.x, other.y - foot.y);
      if (apart < topRadius(foot) + topRadius(other)) joinSets(parent, n, order[next]!);
    }
  }
  const groups = new Map<number, number[]>();
  for (const n of feet.keys()) {
    const root = findRoot(parent, n);
    groups.set(root, [...(groups.get(root) ?? []), n]);
  }
  return [...groups.values()];
}

const topRadius = ({ radiusMm, lipMm }: RaftFoot): number => radiusMm + lipMm;

/** Void of the raft at one height in connected regions; the outside is region 0, −1 is solid. */
interface Regions {
  readonly x0: number;
  readonly y0: number;
  readonly nx: number;
  readonly ny: number;
  readonly of: Int32Array;
  /** Of each region; none are listed for the outside. */
  readonly cells: readonly Int32Array[];
}

interface Opening {
  readonly from: number;
  readonly to: number;
  readonly cost: number;
  readonly cuts: readonly { readonly foot: number; readonly trim: FootTrim }[];
}

/** Opens what is enclosed at a height; whether there was anything that could be. */
function openPockets(
  feet: readonly RaftFoot[],
  group: readonly number[],
  share: number,
  trims: FootTrim[][],
): boolean {
  const regions = regionsAt(feet, group, share, trims);
  const openings = regions.cells.flatMap((cells, region) =>
    region === 0 || cells.length * CELL_MM ** 2 < LEAST_POCKET_MM2
      ? []
      : waysOut(feet, group, regions, region, cells, trims),
  );
  openings.sort((a, b) => a.cost - b.cost);
  const parent = Uint32Array.from({ length: regions.cells.length }, (_, n) => n);
  let opened = false;
  for (const { from, to, cuts } of openings) {
    if (findRoot(parent, from) === findRoot(parent, to)) continue;
    // Another opening of this round may have taken what this one may not take as well.
    if (cuts.some(({ foot, trim }) => isTooMuch(feet[foot]!, [...trims[foot]!, trim]))) continue;
    joinSets(parent, from, to);
    for (const { foot, trim } of cuts) trims[foot]!.push(trim);
    opened = true;
  }
  return opened;
}

function regionsAt(
  feet: readonly RaftFoot[],
  group: readonly number[],
  share: number,
  trims: readonly (readonly FootTrim[])[],
): Regions {
  const all = group.map((n) => feet[n]!);
  const x0 = Math.min(...all.map((foot) => foot.x - topRadius(foot))) - 2 * CELL_MM;
  const y0 = Math.min(...all.map((foot) => foot.y - topRadius(foot))) - 2 * CELL_MM;
  const nx = Math.ceil((Math.max(...all.map((foot) => foot.x + topRadius(foot))) - x0) / CELL_MM) + 2;
  const ny = Math.ceil((Math.max(...all.map((foot) => foot.y + topRadius(foot))) - y0) / CELL_MM) + 2;
  const of = new Int32Array(nx * ny).fill(-2);
  for (const n of group) {
    const foot = feet[n]!;
    const own = trims[n]!;
    const radius = foot.radiusMm + share * foot.lipMm;
    const [jFrom, jTo] = [foot.y - radius, foot.y + radius].map((y) => Math.floor((y - y0) / CELL_MM));
    for (let j = jFrom!; j <= jTo!; j++) {
      const y = y0 + (j + 0.5) * CELL_MM;
      const half = Math.sqrt(Math.max(0, radius ** 2 - (y - foot.y) ** 2));
      const iTo = Math.floor((foot.x + half - x0) / CELL_MM - 0.5);
      for (let i = Math.ceil((foot.x - half - x0) / CELL_MM - 0.5); i <= iTo; i++) {
        const x = x0 + (i + 0.5) * CELL_MM;
        if (own.length === 0 || own.every(({ normal, least }) => normal[0] * x + normal[1] * y >= least))
          of[j * nx + i] = -1;
      }
    }
  }
  const queue = new Int32Array(nx * ny);
  const cells: Int32Array[] = [];
  for (let start = 0; start < of.length; start++) {
    if (of[start] !== -2) continue;
    const count = flood(of, nx, start, cells.length, queue);
    cells.push(cells.length === 0 ? new Int32Array(0) : queue.slice(0, count));
  }
  return { x0, y0, nx, ny, of, cells };
}

/** Numbers all void cells that are joined by edges with `start`, and lists them in `queue`; how many they are. */
function flood(of: Int32Array, nx: number, start: number, region: number, queue: Int32Array): number {
  let count = 1;
  queue[0] = start;
  of[start] = region;
  for (let at = 0; at < count; at++) {
    const cell = queue[at]!;
    // The border is outside: a step beyond a row's end is a step within that.
    for (const next of [cell - 1, cell + 1, cell - nx, cell + nx]) {
      if (of[next] !== -2) continue;
      of[next] = region;
      queue[count++] = next;
    }
  }
  return count;
}

/** The cheapest straight opening from a pocket to each other region that one leads to. */
function waysOut(
  feet: readonly RaftFoot[],
  group: readonly number[],
  regions: Regions,
  from: number,
  cells: Int32Array,
  trims: readonly (readonly FootTrim[])[],
): Opening[] {
  const { x0, y0, nx, ny, of } = regions;
  const best = new Map<number, Opening>();
  const places = Math.min(FROM_PLACES, cells.length);
  for (let n = 0; n < places; n++) {
    const cell = cells[Math.floor(((n + 0.5) * cells.length) / places)]!;
    const x = x0 + ((cell % nx) + 0.5) * CELL_MM;
    const y = y0 + (Math.floor(cell / nx) + 0.5) * CELL_MM;
    for (let way = 0; way < WAYS; way++) {
      const angle = (2 * Math.PI * way) / WAYS;
      const [dx, dy] = [Math.cos(angle), Math.sin(angle)];
      let solid = 0;
      for (let r = CELL_MM; r < FARTHEST_MM; r += CELL_MM / 2) {
        const i = Math.floor((x + r * dx - x0) / CELL_MM);
        const j = Math.floor((y + r * dy - y0) / CELL_MM);
        const region = i < 0 || j < 0 || i >= nx || j >= ny ? 0 : of[j * nx + i]!;
        if (region === -1) solid += CELL_MM / 2;
        if (region === -1 || region === from) continue;
        if (solid < (best.get(region)?.cost ?? Number.POSITIVE_INFINITY)) {
          const cuts = cutsAlong(feet, group, trims, x, y, dx, dy, r);
          if (cuts !== null) best.set(region, { from, to: region, cost: solid, cuts });
        }
        break;
      }
    }
  }
  return [...best.values()];
}

/** What an opening along a way takes of the feet, each of which keeps the side of its strut; null where it meets a strut. */
function cutsAlong(
  feet: readonly RaftFoot[],
  group: readonly number[],
  trims: readonly (readonly FootTrim[])[],
  x: number,
  y: number,
  dx: number,
  dy: number,
  length: number,
): Opening['cuts'] | null {
  const cuts: { foot: number; trim: FootTrim }[] = [];
  for (const n of group) {
    const foot = feet[n]!;
    const along = Math.max(0, Math.min(length, (foot.x - x) * dx + (foot.y - y) * dy));
    const apart = Math.hypot(x + along * dx - foot.x, y + along * dy - foot.y);
    if (apart >= topRadius(foot) + OPENING_MM / 2) continue;
    const across = (foot.x - x) * -dy + (foot.y - y) * dx;
    if (Math.abs(across) < (foot.strutMm + OPENING_MM) / 2) return null;
    const side = Math.sign(across);
    const normal = [-dy * side, dx * side] as const;
    const trim = { normal, least: normal[0] * x + normal[1] * y + OPENING_MM / 2 };
    if (isTooMuch(foot, [...trims[n]!, trim])) return null;
    cuts.push({ foot: n, trim });
  }
  return cuts;
}

const isTooMuch = ({ x, y, radiusMm, leastShare }: RaftFoot, trims: readonly FootTrim[]): boolean =>
  shareLeft(x, y, radiusMm, trims) < leastShare;

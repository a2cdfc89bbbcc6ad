import type { FilmColumns } from './filmColumns.ts';
import type { LimbLook } from './limbLook.ts';
import { isPrinted, type Mouth } from './mouthPlan.ts';

/** The nodes of a limb's film and what hinders the flow between them. */
export interface FilmWays {
  /** Run and column of each node. */
  readonly run: readonly number[];
  readonly column: readonly number[];
  /**
   * Of the film over each node, in columns: half of the way to the next node each way, and all of the way to a
   * wall. 0 where its void does not reach the film.
   */
  readonly area: readonly number[];
  /** The mouth that a node lies in; −1 when in none. */
  readonly mouthOfNode: readonly number[];
  /** By mouth: 1 when a column of a way lies in it. */
  readonly isMet: Uint8Array;
  readonly paths: Paths;
  readonly pieces: Pieces;
}

/** The straight ways between two nodes that stand side by side. */
export interface Paths {
  /** Its nodes; the same one twice where a wall is in it. */
  readonly a: readonly number[];
  readonly b: readonly number[];
  /** ∫ dx/d³ per column's width, 1/m³; Infinity where a wall is in it. */
  readonly whole: readonly number[];
}

/** What lies between a node or a mouth (below 0: −1 − its number) and the next of these on a path. */
export interface Pieces {
  readonly from: readonly number[];
  readonly to: readonly number[];
  readonly hindrance: readonly number[];
  readonly path: readonly number[];
}

/**
 * A gap counts as no wider than this, mm: what is wider hinders the flow by nothing that counts.
 */
const widestMm = 10;
/** What is left at least of the way between two columns, the second in a mouth whose edge is at the first. */
const leastRest = 0.05;
const mm = 1e-3;

/**
 * Breadth first from the seed over every `stride`-th column each way; null when there are more than `most`.
 * A way goes from column to column through the void that they share, so that steps of the floor, walls and
 * the edges of mouths are known to a column's width whatever the stride. Depths are whole layers.
 */
export function filmWays(
  columns: FilmColumns,
  look: LimbLook,
  stride: number,
  most: number,
): FilmWays | null {
  const { nx, ny, nodeOf, mouthOf, to } = columns;
  const marked = markMouths(columns, look, stride);
  const run: number[] = [];
  const column: number[] = [];
  /** By node, a bit for each side whose path is known. */
  const done: number[] = [];
  /** By node and side, in columns. */
  const reach: number[] = [];
  const walker: Walker = {
    paths: { a: [], b: [], whole: [] },
    pieces: { from: [], to: [], hindrance: [], path: [] },
    isMet: new Uint8Array(look.mouths.length),
    run: -1,
    open: 0,
    from: 0,
    hindrance: 0,
  };
  const add = (r: number, c: number): number => {
    nodeOf[r] = run.push(r) - 1;
    column.push(c);
    done.push(0);
    reach.push(stride / 2, stride / 2, stride / 2, stride / 2);
    if (mouthOf[r]! >= 0) walker.isMet[mouthOf[r]!] = 1;
    return nodeOf[r]!;
  };
  const end = look.layer + 1;
  if (Math.min(end, to[look.seed]!) > columns.from[look.seed]!) add(look.seed, look.seedColumn);
  for (let node = 0; node < run.length && run.length <= most; node++) {
    const c = column[node]!;
    const x = c % nx;
    const y = (c - x) / nx;
    for (let side = 0; side < 4; side++) {
      const step = (side < 2 ? 1 : nx) * (side % 2 === 0 ? -1 : 1);
      if ((done[node]! & (1 << side)) !== 0) continue;
      const [at, size] = side < 2 ? [x, nx] : [y, ny];
      const room = side % 2 === 0 ? at : size - 1 - at;
      const { paths, pieces } = walker;
      const path = paths.a.push(node) - 1;
      const whole = walk(columns, look, node, run[node]!, c, step, stride, room, walker);
      paths.whole.push(whole);
      if (whole === Number.POSITIVE_INFINITY) {
        paths.b.push(node);
        reach[4 * node + side] = walker.open + 0.5;
        continue;
      }
      const last = walker.run;
      const other = nodeOf[last]! >= 0 ? nodeOf[last]! : add(last, c + stride * step);
      paths.b.push(other);
      done[other]! |= 1 << (side ^ 1);
      if (mouthOf[last]! >= 0) continue;
      addPiece(pieces, walker.from, other, walker.hindrance, path);
    }
  }
  const mouthOfNode = run.map((r) => mouthOf[r]!);
  const area = run.map((r, node) =>
    to[r]! < end
      ? 0
      : (reach[4 * node]! + reach[4 * node + 1]!) * (reach[4 * node + 2]! + reach[4 * node + 3]!),
  );
  for (const r of run) nodeOf[r] = -1;
  for (const r of marked) mouthOf[r] = -1;
  const { isMet, paths, pieces } = walker;
  return run.length > most ? null : { run, column, area, mouthOfNode, isMet, paths, pieces };
}

type Growing<T> = { [K in keyof T]: number[] };

interface Walker {
  readonly paths: Growing<Paths>;
  readonly pieces: Growing<Pieces>;
  readonly isMet: Uint8Array;
  /** Where the last walk ended, where its last piece started, and what hinders that. */
  run: number;
  from: number;
  hindrance: number;
  /** Columns in a row on it whose void reaches the film. */
  open: number;
}

function addPiece(pieces: Growing<Pieces>, from: number, to: number, hindrance: number, path: number): void {
  pieces.from.push(from);
  pieces.to.push(to);
  pieces.hindrance.push(hindrance);
  pieces.path.push(path);
}

/**
 * `stride` columns on from a node's run, adding the pieces on the way but for the last one; returns what hinders
 * the whole way, mouths or not, and Infinity where a wall is in it or the columns end, `room` of them on.
 */
function walk(
  columns: FilmColumns,
  { layer, mouths, seed }: LimbLook,
  node: number,
  startRun: number,
  startColumn: number,
  step: number,
  stride: number,
  room: number,
  walker: Walker,
): number {
  const { start, from, to, mouthOf, layerHeight, chamber } = columns;
  const end = layer + 1;
  const own = chamber[seed]!;
  const path = walker.paths.a.length - 1;
  const meet = (mouth: number, before: number, hindrance: number): void => {
    walker.isMet[mouth] = 1;
    addPiece(walker.pieces, before, -1 - mouth, hindrance, path);
  };
  let run = startRun;
  let column = startColumn;
  let depth = depthOf(Math.min(end, to[run]!) - from[run]!, layerHeight);
  let mouth = mouthOf[run]!;
  let anchor = mouth < 0 ? node : -1 - mouth;
  let whole = 0;
  let hindrance = 0;
  walker.open = 0;
  for (let n = 0; n < stride; n++) {
    if (n === room) return Number.POSITIVE_INFINITY;
    const nextColumn = column + step;
    let next = -1;
    let shared = 0;
    for (let r = start[nextColumn]!; r < start[nextColumn + 1]!; r++) {
      if (chamber[r] !== own) continue;
      const overlap = Math.min(to[r]!, to[run]!, end) - Math.max(from[r]!, from[run]!);
      if (overlap <= shared) continue;
      shared = overlap;
      next = r;
    }
    if (next < 0) return Number.POSITIVE_INFINITY;
    if (walker.open === n && to[next]! >= end) walker.open++;
    const nextDepth = depthOf(Math.min(end, to[next]!) - from[next]!, layerHeight);
    const between = hindranceBetween(depth, nextDepth, depthOf(shared, layerHeight));
    whole += between;
    const nextMouth = mouthOf[next]!;
    if (mouth < 0 && nextMouth < 0) hindrance += between;
    else if (mouth < 0) {
      meet(nextMouth, anchor, hindrance + restOf(columns, mouths[nextMouth]!, column, end) * between);
      anchor = -1 - nextMouth;
      hindrance = 0;
    } else if (nextMouth < 0) {
      hindrance = restOf(columns, mouths[mouth]!, nextColumn, end) * between;
    } else if (mouth !== nextMouth) {
      meet(nextMouth, anchor, leastRest * between);
      anchor = -1 - nextMouth;
    }
    run = next;
    column = nextColumn;
    depth = nextDepth;
    mouth = nextMouth;
  }
  walker.run = run;
  walker.from = anchor;
  walker.hindrance = hindrance;
  return whole;
}

/** Share of the way from a column outside a mouth to the next one in it that lies outside. */
function restOf(
  { x0, y0, nx, spacing, layerHeight }: FilmColumns,
  mouth: Mouth,
  column: number,
  end: number,
): number {
  const x = x0 + ((column % nx) + 0.5) * spacing;
  const y = y0 + (Math.floor(column / nx) + 0.5) * spacing;
  const film = end * layerHeight;
  // The edge of an upright mouth is its wall, known to a column.
  if (mouth.isInBore(x, y, film)) return 1;
  const away = mouth.away(x, y, film);
  return Math.min(1, Math.max(leastRest, away / spacing));
}

const depthOf = (layers: number, layerHeight: number): number =>
  Math.min(layers * layerHeight, widestMm) * mm;

/** ∫ dx/d³ between two middles under a floor that slopes evenly; a sill leaves what it leaves. */
function hindranceBetween(a: number, b: number, sill: number): number {
  const sloping = (a + b) / (2 * a * a * b * b);
  return sill < Math.min(a, b) ? Math.max(sloping, 1 / (sill * sill * sill)) : sloping;
}

/**
 * Marks the runs in a mouth on the columns that ways go through; tells which. Of an upright mouth those count
 * that stand along the wall which the bore cuts away.
 */
function markMouths(columns: FilmColumns, { layer, mouths, seedColumn }: LimbLook, stride: number): number[] {
  const { x0, y0, nx, ny, spacing, start, from, to, mouthOf, layerHeight } = columns;
  const film = (layer + 1) * layerHeight;
  const [seedX, seedY] = [seedColumn % nx, Math.floor(seedColumn / nx)];
  const marked: number[] = [];
  mouths.forEach((mouth, at) => {
    if (!isPrinted(mouth, film)) return;
    const range = (middle: number, origin: number, most: number): [number, number] => [
      Math.max(0, Math.floor((middle - mouth.boreReach - origin) / spacing)),
      Math.min(most - 1, Math.ceil((middle + mouth.boreReach - origin) / spacing)),
    ];
    const [left, right] = range(mouth.at[0], x0, nx);
    const [near, far] = range(mouth.at[1], y0, ny);
    for (let j = near; j <= far; j++) {
      const isLine = (j - seedY) % stride === 0;
      for (let i = left; i <= right; i++) {
        if (!isLine && (i - seedX) % stride !== 0) continue;
        const column = i + nx * j;
        if (start[column] === start[column + 1]) continue;
        const [x, y] = [x0 + (i + 0.5) * spacing, y0 + (j + 0.5) * spacing];
        const isWithin = mouth.away(x, y, film) <= 0;
        if (!isWithin && !mouth.isInBore(x, y, film)) continue;
        for (let r = start[column]!; r < start[column + 1]!; r++) {
          const isBeside = from[r]! * layerHeight > mouth.high || to[r]! * layerHeight < mouth.low;
          if (mouthOf[r]! >= 0 || isBeside || !(isWithin || isAtWall(columns, r, i, j, mouth))) continue;
          mouthOf[r] = at;
          marked.push(r);
        }
      }
    }
  });
  return marked;
}

/** Whether there is no void on the side of a run from which the bore comes. */
function isAtWall(columns: FilmColumns, run: number, i: number, j: number, { inward }: Mouth): boolean {
  const { nx, ny, start, from, to, chamber } = columns;
  const length = Math.sqrt(inward[0] ** 2 + inward[1] ** 2);
  const [x, y] = [i - Math.round(inward[0] / length), j - Math.round(inward[1] / length)];
  if (x < 0 || y < 0 || x >= nx || y >= ny) return true;
  for (let r = start[x + nx * y]!; r < start[x + nx * y + 1]!; r++) {
    if (chamber[r] === chamber[run] && from[r]! < to[run]! && to[r]! > from[run]!) return false;
  }
  return true;
}

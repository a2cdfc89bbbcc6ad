import type { Interrupter } from '../interrupter.ts';
import type { PartGrowth } from './partGrowth.ts';
import { type Piece, pieceSweep } from './pieceSweep.ts';
import type { SupportedSolid } from './supportedSolid.ts';

/** Lists by layer while they grow. */
interface Lists {
  readonly merges: number[];
  readonly counts: number[];
  readonly loadBody: number[];
  readonly loads: number[];
  readonly pieceBody: number[];
}

/** Bodies as far as the sweep has come. */
interface Bodies {
  readonly startLayer: number[];
  readonly startAt: number[];
  /** By body: the one it has become part of; itself while it has not. */
  readonly into: number[];
  /** By body: it begins in air and has not been large enough to count. */
  readonly small: boolean[];
}

/** Sweeps a part from the plate up. Loads and starts on less than `leastMm2` are left out; what stands on the plate counts however small. */
export function growPart(
  { solid, xLow, xHigh }: SupportedSolid,
  leastMm2: number,
  interrupter: Interrupter,
): PartGrowth {
  const { lattice } = solid;
  const lists: Lists = { merges: [], counts: [], loadBody: [], loads: [], pieceBody: [] };
  const bodies: Bodies = { startLayer: [], startAt: [], into: [], small: [] };
  const offsets = { merges: [0], counts: [0], loads: [0], pieces: [0] };
  let onPlate = false;
  let below: readonly number[] = [];
  for (const { layer, pieces, placeIn } of pieceSweep(solid, xLow, xHigh)) {
    if (layer % 16 === 0) interrupter(layer / lattice.layers);
    if (layer === 0 && pieces.length > 0) onPlate = true;
    join(bodies, pieces, below, lists);
    const z = lattice.z0 + layer * lattice.dz;
    const own = pieces.map((piece, n) => {
      for (const under of piece.below) return now(bodies, below[under]!);
      return begin(bodies, layer, [...placeIn(n), z]);
    });
    count(bodies, pieces, own, leastMm2, lists);
    sumLoads(pieces, own, layer === 0 ? 0 : leastMm2, lists);
    for (const body of own) lists.pieceBody.push(body);
    offsets.merges.push(lists.merges.length / 2);
    offsets.counts.push(lists.counts.length);
    offsets.loads.push(lists.loadBody.length);
    offsets.pieces.push(lists.pieceBody.length);
    below = own;
  }
  return {
    bodies: bodies.into.length,
    layerHeight: lattice.dz,
    onPlate,
    startLayer: Uint32Array.from(bodies.startLayer),
    startAt: Float64Array.from(bodies.startAt),
    mergeOffsets: Uint32Array.from(offsets.merges),
    merges: Uint32Array.from(lists.merges),
    countOffsets: Uint32Array.from(offsets.counts),
    counts: Uint32Array.from(lists.counts),
    loadOffsets: Uint32Array.from(offsets.loads),
    loadBody: Uint32Array.from(lists.loadBody),
    loads: Float64Array.from(lists.loads),
    pieceOffsets: Uint32Array.from(offsets.pieces),
    pieceBody: Uint32Array.from(lists.pieceBody),
  };
}

/** The body that one has become part of, or itself. */
function now({ into }: Bodies, body: number): number {
  let at = body;
  while (into[at] !== at) at = into[at]!;
  return at;
}

/** What a piece rests on is one body from here on: the lowest of them. */
function join(bodies: Bodies, pieces: readonly Piece[], below: readonly number[], { merges }: Lists): void {
  for (const piece of pieces) {
    if (piece.below.size < 2) continue;
    const met = [...new Set([...piece.below].map((under) => now(bodies, below[under]!)))].sort(
      (a, b) => a - b,
    );
    for (const other of met.slice(1)) {
      merges.push(met[0]!, other);
      bodies.into[other] = met[0]!;
    }
  }
}

function begin({ startLayer, startAt, into, small }: Bodies, layer: number, at: readonly number[]): number {
  startLayer.push(layer);
  startAt.push(...at);
  small.push(layer > 0);
  return into.push(into.length) - 1;
}

function count(
  { small }: Bodies,
  pieces: readonly Piece[],
  own: readonly number[],
  leastMm2: number,
  { counts }: Lists,
): void {
  for (const [n, body] of own.entries()) {
    if (!small[body] || pieces[n]!.areaMm2 < leastMm2) continue;
    small[body] = false;
    counts.push(body);
  }
}

/** Pieces of one body pull as one. */
function sumLoads(
  pieces: readonly Piece[],
  own: readonly number[],
  leastMm2: number,
  { loadBody, loads }: Lists,
): void {
  const sums = new Map<number, { areaMm2: number; x: number; y: number }>();
  for (const [n, { areaMm2, x, y }] of pieces.entries()) {
    const sum = sums.get(own[n]!) ?? { areaMm2: 0, x: 0, y: 0 };
    sums.set(own[n]!, {
      areaMm2: sum.areaMm2 + areaMm2,
      x: sum.x + areaMm2 * x,
      y: sum.y + areaMm2 * y,
    });
  }
  for (const [body, { areaMm2, x, y }] of sums) {
    if (areaMm2 < leastMm2) continue;
    loadBody.push(body);
    loads.push(areaMm2, x / areaMm2, y / areaMm2);
  }
}

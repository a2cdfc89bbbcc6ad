import {
  intervalSets,
  type LayerIntervals,
  labelIntervals,
  layerIntervals,
} from '../layers/labelIntervals.ts';
import { type Lattice, rowY } from '../rays/lattice.ts';
import { type LayerRows, type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';

/** One layer of a solid in connected pieces, with what each touches of the layer below. */
export interface PieceLayer {
  readonly layer: number;
  readonly pieces: readonly Piece[];
  /** A place in a piece, as near to its middle as its rows come: x and y, mm. */
  placeIn(piece: number): readonly [number, number];
}

export interface Piece {
  areaMm2: number;
  /** Its middle, mm. */
  x: number;
  y: number;
  /** Pieces of the layer below that it rests on. */
  readonly below: Set<number>;
}

/** A place in a piece keeps this from the ends of its run where it can, mm: half a usual tip. */
const INSET_MM = 0.25;

/** Walks the layers of a solid from the plate up. */
export function* pieceSweep(
  region: RunsByLayer,
  xLow: number,
  xHigh: number,
): Generator<PieceLayer, void, undefined> {
  const { lattice } = region;
  const sets = intervalSets();
  let labels = layerIntervals();
  let labelsBelow = layerIntervals();
  let below: LayerRows | null = null;
  for (let layer = 0; layer < lattice.layers; layer++) {
    const solid = rowsOfLayer(region, layer);
    labelIntervals(solid, lattice.rows, xLow, xHigh, sets, labels);
    const pieces = piecesOf(solid, labels, lattice);
    if (below !== null) meet(pieces, solid, labels, below, labelsBelow, lattice.rows);
    const own = labels;
    const ofRun = (row: number, run: number): number => pieceOfRun(solid, own, row, run);
    const placeIn = (piece: number) => middleOf(pieces[piece]!, piece, solid, lattice, ofRun);
    yield { layer, pieces, placeIn };
    below = solid;
    [labels, labelsBelow] = [labelsBelow, labels];
  }
}

/** The piece of a layer that holds a run. Void and solid intervals of a row take turns, void first: run n of a layer is the odd one after its row’s start. */
export function pieceOfRun(
  { offsets, base }: LayerRows,
  { label, regions }: Pick<LayerIntervals, 'label' | 'regions'>,
  row: number,
  run: number,
): number {
  return label[2 * (run - offsets[base]!) + row + 1]! - regions;
}

function piecesOf(solid: LayerRows, labels: LayerIntervals, lattice: Lattice): Piece[] {
  const { offsets, ends, base } = solid;
  const pieces = Array.from({ length: labels.pieces }, (): Piece => {
    return { areaMm2: 0, x: 0, y: 0, below: new Set() };
  });
  for (let row = 0; row < lattice.rows; row++) {
    const y = rowY(lattice, row);
    for (let run = offsets[base + row]!; run < offsets[base + row + 1]!; run++) {
      const piece = pieces[pieceOfRun(solid, labels, row, run)]!;
      const [low, high] = [ends[2 * run]!, ends[2 * run + 1]!];
      const length = high - low;
      piece.areaMm2 += length;
      piece.x += (length * (low + high)) / 2;
      piece.y += length * y;
    }
  }
  for (const piece of pieces) {
    piece.x /= piece.areaMm2;
    piece.y /= piece.areaMm2;
    piece.areaMm2 *= lattice.dy;
  }
  return pieces;
}

function middleOf(
  { x, y }: Piece,
  piece: number,
  { offsets, ends, base }: LayerRows,
  lattice: Lattice,
  ofRun: (row: number, run: number) => number,
): readonly [number, number] {
  const middle = Math.floor((y - lattice.y0) / lattice.dy);
  for (let away = 0; away < lattice.rows; away++) {
    for (const row of away === 0 ? [middle] : [middle - away, middle + away]) {
      if (row < 0 || row >= lattice.rows) continue;
      let nearest = Number.POSITIVE_INFINITY;
      for (let run = offsets[base + row]!; run < offsets[base + row + 1]!; run++) {
        if (ofRun(row, run) !== piece) continue;
        const [low, high] = [ends[2 * run]!, ends[2 * run + 1]!];
        const inset = Math.min(INSET_MM, (high - low) / 2);
        const at = Math.max(low + inset, Math.min(x, high - inset));
        if (Math.abs(at - x) < Math.abs(nearest - x)) nearest = at;
      }
      if (nearest < Number.POSITIVE_INFINITY) return [nearest, rowY(lattice, row)];
    }
  }
  throw new Error(`piece ${piece} has no run`);
}

/** Enters what rests on what: runs of one row that overlap by more than a point. */
function meet(
  pieces: readonly Piece[],
  here: LayerRows,
  labels: LayerIntervals,
  below: LayerRows,
  labelsBelow: LayerIntervals,
  rows: number,
): void {
  for (let row = 0; row < rows; row++) {
    let under = below.offsets[below.base + row]!;
    const lastUnder = below.offsets[below.base + row + 1]!;
    let run = here.offsets[here.base + row]!;
    const last = here.offsets[here.base + row + 1]!;
    while (under < lastUnder && run < last) {
      const [lowU, highU] = [below.ends[2 * under]!, below.ends[2 * under + 1]!];
      const [low, high] = [here.ends[2 * run]!, here.ends[2 * run + 1]!];
      if (Math.max(lowU, low) < Math.min(highU, high)) {
        const piece = pieces[pieceOfRun(here, labels, row, run)]!;
        piece.below.add(pieceOfRun(below, labelsBelow, row, under));
      }
      if (highU < high) under++;
      else run++;
    }
  }
}

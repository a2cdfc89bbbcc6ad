import { intervalSets, labelIntervals, layerIntervals } from '../layers/labelIntervals.ts';
import { findRun } from '../rays/findRun.ts';
import { rowsOfLayer } from '../rays/runsByLayer.ts';
import type { Vec3 } from '../vector.ts';
import type { PartGrowth } from './partGrowth.ts';
import { pieceOfRun } from './pieceSweep.ts';
import type { SupportedSolid } from './supportedSolid.ts';

/** Finds the body that the solid of a layer over (x, y) is of; there must be some. Quick while the layer stays. */
export function bodyFinder(
  { solid, xLow, xHigh }: SupportedSolid,
  { pieceOffsets, pieceBody }: Pick<PartGrowth, 'pieceOffsets' | 'pieceBody'>,
): (layer: number, at: Vec3) => number {
  const { lattice } = solid;
  const labels = layerIntervals();
  const sets = intervalSets();
  let labelled = -1;
  return (layer, [x, y]) => {
    const rows = rowsOfLayer(solid, layer);
    if (layer !== labelled) labelIntervals(rows, lattice.rows, xLow, xHigh, sets, labels);
    labelled = layer;
    const row = Math.floor((y - lattice.y0) / lattice.dy);
    const piece = pieceOfRun(rows, labels, row, findRun(rows, rows.base + row, x));
    return pieceBody[pieceOffsets[layer]! + piece]!;
  };
}

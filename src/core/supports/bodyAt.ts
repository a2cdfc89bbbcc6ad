import { intervalSets, labelIntervals, layerIntervals } from '../layers/labelIntervals.ts';
import { findRun } from '../rays/findRun.ts';
import { rowsOfLayer } from '../rays/runsByLayer.ts';
import type { Vec3 } from '../vector.ts';
import type { PartGrowth } from './partGrowth.ts';
import { pieceOfRun } from './pieceSweep.ts';
import type { SupportedSolid } from './supportedSolid.ts';

/** The body that the solid of a layer over (x, y) is of; there must be some. */
export function bodyAt(
  { solid, xLow, xHigh }: SupportedSolid,
  { pieceOffsets, pieceBody }: Pick<PartGrowth, 'pieceOffsets' | 'pieceBody'>,
  layer: number,
  [x, y]: Vec3,
): number {
  const { lattice } = solid;
  const rows = rowsOfLayer(solid, layer);
  const labels = layerIntervals();
  labelIntervals(rows, lattice.rows, xLow, xHigh, intervalSets(), labels);
  const row = Math.floor((y - lattice.y0) / lattice.dy);
  const piece = pieceOfRun(rows, labels, row, findRun(rows, rows.base + row, x));
  return pieceBody[pieceOffsets[layer]! + piece]!;
}

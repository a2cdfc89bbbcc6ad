import { findRun } from '../rays/findRun.ts';
import { type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';

/**
 * The height of the highest layer of solid over (x, y) that lies below `z` and above `downTo`, mm; that of the plate
 * where there is none.
 */
export function topUnder(solid: RunsByLayer, x: number, y: number, z: number, downTo = 0): number {
  const { lattice } = solid;
  const row = Math.floor((y - lattice.y0) / lattice.dy);
  const from = Math.min(lattice.layers, Math.round((z - lattice.z0) / lattice.dz));
  if (row < 0 || row >= lattice.rows) return 0;
  const last = Math.max(0, Math.floor((downTo - lattice.z0) / lattice.dz));
  for (let layer = from - 1; layer >= last; layer--) {
    const rows = rowsOfLayer(solid, layer);
    if (findRun(rows, rows.base + row, x) >= 0) return lattice.z0 + (layer + 1) * lattice.dz;
  }
  return 0;
}

import { findRun } from '../rays/findRun.ts';
import { type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';
import type { Vec3 } from '../vector.ts';

/** An underside of a solid: where a column comes out of void into a layer of solid. */
export interface Underside {
  readonly layer: number;
  /** The place, at that layer's lower face. */
  readonly at: Vec3;
}

/** The underside nearest to a point in the column through it, no further than `withinMm`; null where there is none. */
export function undersideNear(solid: RunsByLayer, [x, y, z]: Vec3, withinMm: number): Underside | null {
  const { lattice } = solid;
  const row = Math.floor((y - lattice.y0) / lattice.dy);
  if (!(row >= 0 && row < lattice.rows)) return null;
  const isSolid = (layer: number): boolean => {
    if (layer < 0 || layer >= lattice.layers) return false;
    const rows = rowsOfLayer(solid, layer);
    return findRun(rows, rows.base + row, x) >= 0;
  };
  const middle = Math.round((z - lattice.z0) / lattice.dz);
  const reach = Math.floor(withinMm / lattice.dz);
  for (let away = 0; away <= reach; away++) {
    for (const layer of away === 0 ? [middle] : [middle - away, middle + away]) {
      if (isSolid(layer) && !isSolid(layer - 1))
        return { layer, at: [x, y, lattice.z0 + layer * lattice.dz] };
    }
  }
  return null;
}

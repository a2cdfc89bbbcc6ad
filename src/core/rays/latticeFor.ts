import type { Box } from '../vector.ts';
import type { Lattice } from './lattice.ts';

/**
 * The lattice for print analysis of a part with these bounds (print frame, mm): layers from the
 * plate (z = 0) to ceil(z_max/dz − 1e-6), empty ones under a raised part included; rows dy apart
 * over the bounds with one empty row on either side, so that the outside is connected in each layer.
 */
export function latticeFor(bounds: Box, dy: number, dz: number): Lattice {
  const inner = Math.max(1, Math.ceil((bounds.max[1] - bounds.min[1]) / dy));
  const middle = (bounds.min[1] + bounds.max[1]) / 2;
  const rows = inner + 2;
  return {
    y0: middle - (rows / 2) * dy,
    dy,
    rows,
    z0: 0,
    dz,
    layers: Math.max(0, Math.ceil(bounds.max[2] / dz - 1e-6)),
  };
}

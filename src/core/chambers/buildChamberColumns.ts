import type { Interrupter } from '../interrupter.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import { labelledRuns } from '../rays/labelledRuns.ts';
import type { ChamberColumns } from './chamberColumns.ts';

const finestMm = 0.5;
/** About as many columns as this at most. */
const columns = 60_000;

/** `cavity` posed (print frame, mm), with the chamber of each of its facets. */
export function buildChamberColumns(
  cavity: Mesh,
  facetChamber: Uint32Array,
  interrupter: Interrupter,
): ChamberColumns {
  const { min, max } = boundsOf(cavity.positions);
  const area = (max[0] - min[0]) * (max[1] - min[1]);
  const spacing = Math.max(finestMm, Math.sqrt(area / columns));
  const nx = Math.max(1, Math.ceil((max[0] - min[0]) / spacing));
  const ny = Math.max(1, Math.ceil((max[1] - min[1]) / spacing));
  const x0 = (min[0] + max[0] - nx * spacing) / 2;
  const y0 = (min[1] + max[1] - ny * spacing) / 2;
  // Rays run along x: with z, x, y in the places of x, y, z they stand upright, and nothing is mirrored.
  const lattice = { y0: x0, dy: spacing, rows: nx, z0: y0, dz: spacing, layers: ny };
  const grid = buildRayGrid(turnedUpright(cavity), lattice, interrupter, { facets: true });
  const { offsets, ends, label } = labelledRuns(grid, facetChamber);
  return {
    x0,
    y0,
    spacing,
    nx,
    ny,
    start: offsets,
    low: ends.filter((_, end) => end % 2 === 0),
    high: ends.filter((_, end) => end % 2 === 1),
    chamber: Uint16Array.from(label),
  };
}

function turnedUpright({ positions, triangles }: Mesh): Mesh {
  const turned = new Float32Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    turned[i] = positions[i + 2]!;
    turned[i + 1] = positions[i]!;
    turned[i + 2] = positions[i + 1]!;
  }
  return { positions: turned, triangles };
}

import type { Mesh } from '../mesh/mesh.ts';
import { failure, type Result, success } from '../result.ts';
import type { Lattice } from './lattice.ts';

/** About 1.3 GB of crossings and rows; a 190 mm figure of 5M triangles at 0.05 × 0.1 mm needs a tenth. */
const MOST_ROWS = 64e6;
const MOST_CROSSINGS = 128e6;

/**
 * Estimates the crossings of a mesh with a lattice without making them: facet area seen along x
 * over the area of a sample. Fails with `grid-too-large` where the grid would not fit in memory (a
 * part posed far too large, or a file of random triangles), before anything is allocated.
 */
export function checkGridLoad(mesh: Mesh, lattice: Lattice): Result<{ readonly crossings: number }> {
  const rows = lattice.rows * lattice.layers;
  const crossings = projectedArea(mesh) / (lattice.dy * lattice.dz);
  if (!(rows <= MOST_ROWS) || !(crossings <= MOST_CROSSINGS)) {
    return failure(
      'grid-too-large',
      `The part would need ${Math.round(rows)} sample rows and about ${Math.round(crossings)} crossings; ` +
        'check its scale factor, or use a larger layer height.',
    );
  }
  return success({ crossings });
}

/** Σ |facet area projected on the yz plane|, in the mesh's unit squared. */
function projectedArea({ positions, triangles }: Mesh): number {
  let twice = 0;
  for (let f = 0; f < triangles.length; f += 3) {
    const a = 3 * triangles[f]!;
    const b = 3 * triangles[f + 1]!;
    const c = 3 * triangles[f + 2]!;
    const ay = positions[a + 1]!;
    const az = positions[a + 2]!;
    twice += Math.abs(
      (positions[b + 1]! - ay) * (positions[c + 2]! - az) -
        (positions[b + 2]! - az) * (positions[c + 1]! - ay),
    );
  }
  return twice / 2;
}

import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { PlacedOpening } from '../../../src/core/openings/opening.ts';
import { buildRayGrid } from '../../../src/core/rays/buildRayGrid.ts';
import { latticeFor } from '../../../src/core/rays/latticeFor.ts';
import type { Runs } from '../../../src/core/rays/runs.ts';
import { solidRuns } from '../../../src/core/rays/solidRuns.ts';
import { type Box, normalized, type Vec3 } from '../../../src/core/vector.ts';
import { transformed } from '../../shapes.ts';

/* Test meshes set on the plate and cut into rows, the way the pipeline does it. */

export function boundsOf({ positions }: Mesh): Box {
  const min: [number, number, number] = [Infinity, Infinity, Infinity];
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    min[i % 3] = Math.min(min[i % 3]!, positions[i]!);
    max[i % 3] = Math.max(max[i % 3]!, positions[i]!);
  }
  return { min, max };
}

/** Turned, then shifted so that the lowest point is `raise` mm above the plate. */
export function posed(mesh: Mesh, turn: Vec3, raise: number): Mesh {
  const turnedMesh = transformed(mesh, { turn });
  return transformed(turnedMesh, { shift: [0, 0, raise - boundsOf(turnedMesh).min[2]] });
}

export function gridOf(mesh: Mesh, dy = 0.1, dz = 0.05, facets = false) {
  return buildRayGrid(mesh, latticeFor(boundsOf(mesh), dy, dz), uninterrupted, { facets });
}

export const solidOf = (mesh: Mesh, dy = 0.1, dz = 0.05): Runs => solidRuns(gridOf(mesh, dy, dz));

export function openingAt(
  mouth: Vec3,
  toward: Vec3,
  radius: number,
  depth: number,
  outward = 0.05,
): PlacedOpening {
  return { id: 'vents/0', kind: 'vent', mouth, axis: normalized(toward), radius, depth, outward };
}

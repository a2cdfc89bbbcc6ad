import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { clusterMesh } from '../core/surface/clusterMesh.ts';
import type { PackedSurface } from '../core/surface/packedSurface.ts';
import { packSurface } from '../core/surface/packSurface.ts';
import { vertexNormals } from '../core/surface/vertexNormals.ts';

/** What can be drawn at once while the refined levels are being made. */
const firstTriangles = [10_000, 100_000] as const;

/** Levels for the first picture of a mesh, coarsest first, by clustering. `scale` is mm per unit of the mesh. */
export function firstSurface(mesh: Mesh, scale: number, interrupter: Interrupter): PackedSurface[] {
  if (mesh.triangles.length === 0) return [];
  const levels: PackedSurface[] = [];
  let finer = mesh;
  let moved = 0;
  for (const target of firstTriangles.toReversed()) {
    const { mesh: light, movedAtMost } = clusterMesh(finer, target, interrupter);
    if (levels.length > 0 && light === finer) break;
    // Everything fell into one cell: the finer level is all there is to see.
    if (light.triangles.length === 0) break;
    moved += movedAtMost;
    levels.unshift(packSurface(light, vertexNormals(light), moved, scale));
    finer = light;
  }
  return levels;
}

import { MeshoptEncoder } from 'meshoptimizer/encoder';
import { MeshoptSimplifier } from 'meshoptimizer/simplifier';
import type { Mesh } from '../core/mesh/mesh.ts';
import { greatestDistance } from '../core/surface/greatestDistance.ts';
import type { PackedSurface } from '../core/surface/packedSurface.ts';
import { packSurface } from '../core/surface/packSurface.ts';
import { vertexNormals } from '../core/surface/vertexNormals.ts';
import { refinedLevels } from './refinedLevels.ts';

/** More than any part: the count of triangles is what stops the simplifier. */
const anyError = 1e30;

/** The simplifier's own error is a mean over what a collapse touched; the worst point lies up to ten times as far. */
const measuredFacets = 40_000;

/**
 * The levels of a mesh that stay, coarsest first. Each is simplified from the next finer one by edge
 * collapses (Garland & Heckbert 1997, normals as in Hoppe 1999; by meshoptimizer), which moves no
 * vertex and keeps closed surfaces closed; its error is measured against the whole mesh. Normals are
 * those of the whole mesh. Triangles and vertices stand in an order that a graphics card's caches like.
 */
export async function refineSurface(mesh: Mesh, scale: number): Promise<PackedSurface[]> {
  if (mesh.triangles.length === 0) return [];
  await Promise.all([MeshoptSimplifier.ready, MeshoptEncoder.ready]);
  let finer: Shaded = { mesh, normals: vertexNormals(mesh) };
  const levels: PackedSurface[] = [];
  for (const level of refinedLevels.toReversed()) {
    const heavy = finer.mesh.triangles.length > 3 * level.triangles;
    if (!heavy && levels.length > 0) continue;
    if (heavy) {
      const { positions, triangles } = finer.mesh;
      const kept = simplified(finer, level.triangles, level.normalWeight);
      if (kept.length === 0 || kept.length === triangles.length) break;
      finer = { mesh: { positions, triangles: kept }, normals: finer.normals };
    }
    finer = reordered(finer);
    const whole = finer.mesh.triangles.length === mesh.triangles.length;
    const error = whole ? 0 : greatestDistance(mesh, finer.mesh, measuredFacets);
    levels.unshift(packSurface(finer.mesh, finer.normals, error, scale));
  }
  return levels;
}

interface Shaded {
  readonly mesh: Mesh;
  readonly normals: Float32Array;
}

function simplified({ mesh, normals }: Shaded, target: number, normalWeight: number): Uint32Array {
  const { positions, triangles } = mesh;
  const weights = [normalWeight, normalWeight, normalWeight];
  const [kept] = MeshoptSimplifier.simplifyWithAttributes(
    triangles,
    positions,
    3,
    normals,
    3,
    weights,
    null,
    3 * target,
    anyError,
    ['ErrorAbsolute'],
  );
  return kept;
}

const unused = 0xffffffff;

/** Triangles by vertex cache, vertices in the order of use, without those that nothing uses. */
function reordered({ mesh, normals }: Shaded): Shaded {
  const triangles = mesh.triangles.slice();
  const [newIndex, used] = MeshoptEncoder.reorderMesh(triangles, true, false);
  const moved = (from: Float32Array): Float32Array => {
    const to = new Float32Array(3 * used);
    for (let vertex = 0; vertex < newIndex.length; vertex++) {
      const index = newIndex[vertex]!;
      if (index === unused) continue;
      for (let axis = 0; axis < 3; axis++) to[3 * index + axis] = from[3 * vertex + axis]!;
    }
    return to;
  };
  return { mesh: { positions: moved(mesh.positions), triangles }, normals: moved(normals) };
}

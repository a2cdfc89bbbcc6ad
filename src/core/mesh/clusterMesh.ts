import { type Interrupter, uninterrupted } from '../interrupter.ts';
import { massProperties } from './massProperties.ts';
import type { Mesh } from './mesh.ts';

/**
 * A lighter mesh for drawing: vertices in one cell of a grid become one (their mean), facets that
 * collapse go. The map of vertices keeps closed surfaces closed as chains (every directed edge
 * still has its opposite, counted), so winding by stencil stays right. The grid is chosen from the
 * surface's area so that about `targetTriangles` remain. Rossignac & Borrel 1993.
 */
export function clusterMesh(mesh: Mesh, targetTriangles: number, interrupter: Interrupter): Mesh {
  if (mesh.triangles.length / 3 <= targetTriangles) return mesh;
  // A closed surface of area S cut by cells of edge s keeps about 2·S/s² facets.
  const cell = Math.sqrt((2 * massProperties(mesh, uninterrupted).area) / targetTriangles);
  const { clusterOf, positions } = clusterVertices(mesh, cell);
  interrupter(0.7);
  return { positions, triangles: survivingFacets(mesh.triangles, clusterOf) };
}

function clusterVertices(
  { positions }: Mesh,
  cell: number,
): { clusterOf: Uint32Array; positions: Float32Array } {
  const vertices = positions.length / 3;
  const clusterOf = new Uint32Array(vertices);
  const cells = new Map<number, number>();
  const sums: number[] = [];
  for (let vertex = 0; vertex < vertices; vertex++) {
    const x = positions[3 * vertex]!;
    const y = positions[3 * vertex + 1]!;
    const z = positions[3 * vertex + 2]!;
    // 17 bits an axis hold any part that passed the reader's limits at this cell size.
    const key =
      (Math.floor(x / cell) + 65536) * 2 ** 34 +
      (Math.floor(y / cell) + 65536) * 2 ** 17 +
      Math.floor(z / cell) +
      65536;
    let cluster = cells.get(key);
    if (cluster === undefined) {
      cluster = cells.size;
      cells.set(key, cluster);
      sums.push(0, 0, 0, 0);
    }
    clusterOf[vertex] = cluster;
    const at = 4 * cluster;
    sums[at]! += x;
    sums[at + 1]! += y;
    sums[at + 2]! += z;
    sums[at + 3]! += 1;
  }
  const means = new Float32Array(3 * cells.size);
  for (let cluster = 0; cluster < cells.size; cluster++) {
    const count = sums[4 * cluster + 3]!;
    for (let axis = 0; axis < 3; axis++) means[3 * cluster + axis] = sums[4 * cluster + axis]! / count;
  }
  return { clusterOf, positions: means };
}

function survivingFacets(triangles: Uint32Array, clusterOf: Uint32Array): Uint32Array {
  const kept = new Uint32Array(triangles.length);
  let filled = 0;
  for (let at = 0; at < triangles.length; at += 3) {
    const a = clusterOf[triangles[at]!]!;
    const b = clusterOf[triangles[at + 1]!]!;
    const c = clusterOf[triangles[at + 2]!]!;
    if (a === b || b === c || c === a) continue;
    kept[filled++] = a;
    kept[filled++] = b;
    kept[filled++] = c;
  }
  return kept.slice(0, filled);
}

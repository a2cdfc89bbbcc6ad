import type { Interrupter } from '../interrupter.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Vec3 } from '../vector.ts';

export interface ClusteredMesh {
  readonly mesh: Mesh;
  /** How far a vertex has moved at most: the diagonal of a cell. 0 when the mesh was light enough. */
  readonly movedAtMost: number;
}

/** Along an axis: specks far apart have little area, and a cell's coordinates are 32-bit. */
const mostCells = 2 ** 30;

/**
 * A lighter mesh for drawing: vertices in one cell of a grid become one (their mean), facets that
 * collapse go. The map of vertices keeps closed surfaces closed as chains (every directed edge
 * still has its opposite, counted), so winding by stencil stays right. The grid is chosen from the
 * surface's area so that about `targetTriangles` remain. Rossignac & Borrel 1993.
 */
export function clusterMesh(mesh: Mesh, targetTriangles: number, interrupter: Interrupter): ClusteredMesh {
  if (mesh.triangles.length / 3 <= targetTriangles) return { mesh, movedAtMost: 0 };
  // A closed surface of area S cut by cells of edge s keeps about 2·S/s² facets.
  const { min, max } = boundsOf(mesh.positions);
  const extent = Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
  if (extent === 0) return { mesh, movedAtMost: 0 };
  const cell = Math.max(Math.sqrt((2 * surfaceArea(mesh)) / targetTriangles), extent / mostCells);
  interrupter(0.2);
  const { clusterOf, clusters } = assignCells(mesh.positions, min, cell, interrupter);
  const positions = clusterMeans(mesh.positions, clusterOf, clusters);
  interrupter(0.8);
  const triangles = survivingFacets(mesh.triangles, clusterOf);
  return { mesh: { positions, triangles }, movedAtMost: cell * Math.sqrt(3) };
}

function surfaceArea({ positions: p, triangles: t }: Mesh): number {
  let doubled = 0;
  for (let i = 0; i < t.length; i += 3) {
    const a = 3 * t[i]!;
    const b = 3 * t[i + 1]!;
    const c = 3 * t[i + 2]!;
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    doubled += Math.sqrt(nx * nx + ny * ny + nz * nz);
  }
  return doubled / 2;
}

const verticesPerTick = 1 << 18;

/** Cells numbered in the order of their first vertex: an open-addressed table of the cells' coordinates. */
function assignCells(
  positions: Float32Array,
  [lowX, lowY, lowZ]: Vec3,
  cell: number,
  interrupter: Interrupter,
): { clusterOf: Uint32Array; clusters: number } {
  const vertices = positions.length / 3;
  const clusterOf = new Uint32Array(vertices);
  let table = new Int32Array(1 << 16).fill(-1);
  let cells = new Int32Array(3 << 15);
  let clusters = 0;
  for (let vertex = 0; vertex < vertices; vertex++) {
    if (vertex % verticesPerTick === 0) interrupter(0.2 + (0.5 * vertex) / vertices);
    const x = Math.floor((positions[3 * vertex]! - lowX) / cell) | 0;
    const y = Math.floor((positions[3 * vertex + 1]! - lowY) / cell) | 0;
    const z = Math.floor((positions[3 * vertex + 2]! - lowZ) / cell) | 0;
    let slot = slotOf(x, y, z, table.length);
    let cluster = table[slot]!;
    while (
      cluster >= 0 &&
      (cells[3 * cluster] !== x || cells[3 * cluster + 1] !== y || cells[3 * cluster + 2] !== z)
    ) {
      slot = (slot + 1) & (table.length - 1);
      cluster = table[slot]!;
    }
    if (cluster < 0) {
      cluster = clusters++;
      table[slot] = cluster;
      cells[3 * cluster] = x;
      cells[3 * cluster + 1] = y;
      cells[3 * cluster + 2] = z;
      if (2 * clusters === table.length) {
        const more = new Int32Array(2 * cells.length);
        more.set(cells);
        cells = more;
        table = rehashed(cells, clusters, 2 * table.length);
      }
    }
    clusterOf[vertex] = cluster;
  }
  return { clusterOf, clusters };
}

function slotOf(x: number, y: number, z: number, slots: number): number {
  let hash = Math.imul(x, 0x9e3779b1) ^ Math.imul(y, 0x85ebca77) ^ Math.imul(z, 0xc2b2ae3d);
  hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
  return (hash ^ (hash >>> 13)) & (slots - 1);
}

function rehashed(cells: Int32Array, clusters: number, slots: number): Int32Array<ArrayBuffer> {
  const table = new Int32Array(slots).fill(-1);
  for (let cluster = 0; cluster < clusters; cluster++) {
    let slot = slotOf(cells[3 * cluster]!, cells[3 * cluster + 1]!, cells[3 * cluster + 2]!, slots);
    while (table[slot]! >= 0) slot = (slot + 1) & (slots - 1);
    table[slot] = cluster;
  }
  return table;
}

function clusterMeans(positions: Float32Array, clusterOf: Uint32Array, clusters: number): Float32Array {
  const sums = new Float64Array(3 * clusters);
  const members = new Uint32Array(clusters);
  for (let vertex = 0; vertex < clusterOf.length; vertex++) {
    const cluster = clusterOf[vertex]!;
    sums[3 * cluster]! += positions[3 * vertex]!;
    sums[3 * cluster + 1]! += positions[3 * vertex + 1]!;
    sums[3 * cluster + 2]! += positions[3 * vertex + 2]!;
    members[cluster]!++;
  }
  return Float32Array.from(sums, (sum, i) => sum / members[(i / 3) | 0]!);
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

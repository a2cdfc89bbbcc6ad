import { boundsOf } from './boundsOf.ts';
import type { Mesh } from './mesh.ts';

/**
 * Merges flagged vertices that lie within `tolerance`: each in turn joins the nearest leader within
 * reach, or becomes a leader. Leaders are looked up in the 27 grid cells around a vertex, cells as wide
 * as the tolerance, so none within reach is missed; and leaders keep their distance from each other, so
 * a cell holds few of them and no chain of near vertices can collapse. Leaders keep their positions.
 * The same mesh object comes back when nothing was merged.
 */
export function mergeNearby(mesh: Mesh, flagged: Uint8Array, tolerance: number): Mesh {
  const leader = findLeaders(mesh.positions, flagged, tolerance);
  return leader === null ? mesh : renumbered(mesh, leader);
}

/** Per vertex the vertex it becomes; null when each stays itself. */
function findLeaders(p: Float32Array, flagged: Uint8Array, tolerance: number): Uint32Array | null {
  const vertices = flagged.length;
  const leader = new Uint32Array(vertices);
  const next = new Int32Array(vertices);
  const heads = new Int32Array(2 ** Math.ceil(Math.log2(vertices + 8))).fill(-1);
  const { min } = boundsOf(p);
  let merged = 0;
  for (let v = 0; v < vertices; v++) {
    leader[v] = v;
    if (flagged[v] === 0) continue;
    const cx = Math.floor((p[3 * v]! - min[0]) / tolerance);
    const cy = Math.floor((p[3 * v + 1]! - min[1]) / tolerance);
    const cz = Math.floor((p[3 * v + 2]! - min[2]) / tolerance);
    let nearest = -1;
    let nearestSquared = tolerance * tolerance;
    for (let neighbour = 0; neighbour < 27; neighbour++) {
      const cell = cellHash(
        cx - 1 + (neighbour % 3),
        cy - 1 + (((neighbour / 3) | 0) % 3),
        cz - 1 + ((neighbour / 9) | 0),
        heads.length,
      );
      for (let other = heads[cell]!; other !== -1; other = next[other]!) {
        const squared = squaredDistance(p, v, other);
        if (squared > nearestSquared) continue;
        nearest = other;
        nearestSquared = squared;
      }
    }
    if (nearest !== -1) {
      leader[v] = nearest;
      merged++;
      continue;
    }
    const cell = cellHash(cx, cy, cz, heads.length);
    next[v] = heads[cell]!;
    heads[cell] = v;
  }
  return merged === 0 ? null : leader;
}

function cellHash(x: number, y: number, z: number, size: number): number {
  let h = Math.imul(x, 0x9e3779b1) ^ Math.imul(y, 0x85ebca6b) ^ Math.imul(z, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  return (h ^ (h >>> 15)) & (size - 1);
}

function squaredDistance(p: Float32Array, a: number, b: number): number {
  const x = p[3 * a]! - p[3 * b]!;
  const y = p[3 * a + 1]! - p[3 * b + 1]!;
  const z = p[3 * a + 2]! - p[3 * b + 2]!;
  return x * x + y * y + z * z;
}

function renumbered({ positions, triangles }: Mesh, leader: Uint32Array): Mesh {
  const number = new Uint32Array(leader.length);
  const kept = new Float32Array(positions.length);
  let count = 0;
  for (let v = 0; v < leader.length; v++) {
    if (leader[v] !== v) {
      // A leader always comes before those that join it.
      number[v] = number[leader[v]!]!;
      continue;
    }
    kept.set(positions.subarray(3 * v, 3 * v + 3), 3 * count);
    number[v] = count++;
  }
  return {
    positions: kept.slice(0, 3 * count),
    triangles: triangles.map((vertex) => number[vertex]!),
  };
}

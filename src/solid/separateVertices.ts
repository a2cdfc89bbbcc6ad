import type { Mesh } from '../core/mesh/mesh.ts';

/**
 * Vertices that fall on one float32 point would be welded by whoever reads the STL, and the weld can
 * leave edges with four facets. Every later one of such a group is moved by single float32 steps in
 * x (some 1e-5 mm) until it stands alone, so that an exact weld gives back exactly this mesh.
 * A mesh without such vertices is returned as it is.
 */
export function separateVertices(mesh: Mesh): Mesh {
  const { positions } = mesh;
  const count = positions.length / 3;
  const size = 2 ** Math.ceil(Math.log2(Math.max(8, 2 * count)));
  const table = new Int32Array(size).fill(-1);
  let moved: Float32Array | null = null;
  const point = new Float32Array(3);
  const bits = new Uint32Array(point.buffer);
  for (let v = 0; v < count; v++) {
    // Adding 0 turns −0 into 0: readers compare values, not bits.
    for (let axis = 0; axis < 3; axis++) point[axis] = positions[3 * v + axis]! + 0;
    let slot = findSlot(table, moved ?? positions, point, bits);
    while (table[slot]! >= 0) {
      moved ??= positions.slice();
      point[0] = nextAbove(point[0]!);
      moved[3 * v] = point[0]!;
      slot = findSlot(table, moved, point, bits);
    }
    table[slot] = v;
  }
  return moved ? { positions: moved, triangles: mesh.triangles } : mesh;
}

/** Slot of the vertex that stands at this point, or of the free place for it. */
function findSlot(
  table: Int32Array,
  positions: Float32Array,
  point: Float32Array,
  bits: Uint32Array,
): number {
  const mask = table.length - 1;
  let hash =
    Math.imul(bits[0]!, 0x9e3779b1) ^ Math.imul(bits[1]!, 0x85ebca6b) ^ Math.imul(bits[2]!, 0xc2b2ae35);
  hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
  let slot = (hash ^ (hash >>> 13)) & mask;
  for (;;) {
    const v = table[slot]!;
    if (v < 0) return slot;
    if (
      positions[3 * v] === point[0] &&
      positions[3 * v + 1] === point[1] &&
      positions[3 * v + 2] === point[2]
    ) {
      return slot;
    }
    slot = (slot + 1) & mask;
  }
}

const float = new Float32Array(1);
const floatBits = new Int32Array(float.buffer);

/** The next float32 above a finite one. */
function nextAbove(value: number): number {
  if (value === 0) {
    floatBits[0] = 1;
    return float[0]!;
  }
  float[0] = value;
  floatBits[0]! += value > 0 ? 1 : -1;
  return float[0]!;
}

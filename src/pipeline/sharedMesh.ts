import type { Mesh } from '../core/mesh/mesh.ts';

/** On memory that other threads read as it is: this one may keep its own. */
export function sharedMesh({ positions, triangles }: Mesh): Mesh {
  return { positions: sharedFloats(positions), triangles: sharedIndices(triangles) };
}

function sharedFloats(array: Float32Array): Float32Array {
  if (array.buffer instanceof SharedArrayBuffer) return array;
  const copy = new Float32Array(new SharedArrayBuffer(array.byteLength));
  copy.set(array);
  return copy;
}

/** Likewise of whole numbers. */
export function sharedIndices(array: Uint32Array): Uint32Array {
  if (array.buffer instanceof SharedArrayBuffer) return array;
  const copy = new Uint32Array(new SharedArrayBuffer(array.byteLength));
  copy.set(array);
  return copy;
}

// The field's hot part: what measures the nodes of one brick after the other, and asks for closest points.
export { buildRings } from './facetRings';
export { measureBrick } from './measureBrick';
export { readTable } from './memory';
export { nearer, nearest, on } from './probe';

/** The first address the kernel leaves to its host. */
export function heapBase(): usize {
  return __heap_base;
}

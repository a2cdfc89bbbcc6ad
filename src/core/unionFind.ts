/** The representative of `item`: the smallest member of its set. Halves the path on the way. */
export function findRoot(parent: Uint32Array, item: number): number {
  let at = item;
  for (;;) {
    const up = parent[at]!;
    if (up === at) return at;
    const above = parent[up]!;
    parent[at] = above;
    at = above;
  }
}

/**
 * Joins two sets and returns the root of both. The smaller root stays, so a root is always its
 * set's first member and results do not depend on the order of joins.
 */
export function joinSets(parent: Uint32Array, a: number, b: number): number {
  const rootA = findRoot(parent, a);
  const rootB = findRoot(parent, b);
  if (rootA < rootB) {
    parent[rootB] = rootA;
    return rootA;
  }
  parent[rootA] = rootB;
  return rootB;
}

/** Every item in a set of its own. */
export function singletons(count: number): Uint32Array {
  const parent = new Uint32Array(count);
  for (let i = 0; i < count; i++) parent[i] = i;
  return parent;
}

/** Numbers the sets 0, 1, 2 … in the order of their first members. */
export function numberSets(parent: Uint32Array): { readonly label: Uint32Array; readonly count: number } {
  const label = new Uint32Array(parent.length);
  let count = 0;
  for (let i = 0; i < parent.length; i++) {
    const root = findRoot(parent, i);
    label[i] = root === i ? count++ : label[root]!;
  }
  return { label, count };
}

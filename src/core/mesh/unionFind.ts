/** A forest over 0 … count−1 in which every element is its own root. */
export function separateSets(count: number): Uint32Array {
  const parent = new Uint32Array(count);
  for (let i = 0; i < count; i++) parent[i] = i;
  return parent;
}

/** Root of x, halving the path on the way. */
export function rootOf(parent: Uint32Array, x: number): number {
  let at = x;
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}

/** Joins two sets under the lesser root, so that roots are first members whatever the order of joins. */
export function unite(parent: Uint32Array, a: number, b: number): void {
  const ra = rootOf(parent, a);
  const rb = rootOf(parent, b);
  if (ra < rb) parent[rb] = ra;
  else parent[ra] = rb;
}

/** Numbers the sets 0, 1, 2 … in the order of their first members. */
export function numberSets(parent: Uint32Array): { readonly label: Uint32Array; readonly count: number } {
  const label = new Uint32Array(parent.length);
  let count = 0;
  for (let i = 0; i < parent.length; i++) {
    const root = rootOf(parent, i);
    label[i] = root === i ? count++ : label[root]!;
  }
  return { label, count };
}

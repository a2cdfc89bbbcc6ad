import type { Interrupter } from '../interrupter.ts';

const ROWS_PER_CALL = 1 << 18;
const INSERTION_LIMIT = 24;

/**
 * Sorts the crossings of every row in place by x, then entering before leaving, then by facet: a
 * total order, so the result does not depend on the order of the facets' visits. Rows are short as
 * a rule (insertion); long ones are heap-sorted, so that hostile meshes stay n·log n.
 */
export function sortCrossings(
  offsets: Uint32Array,
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array | null,
  interrupter: Interrupter,
  from: number,
  to: number,
): void {
  const rows = offsets.length - 1;
  for (let row = 0; row < rows; row++) {
    if (row % ROWS_PER_CALL === 0) interrupter(from + ((to - from) * row) / rows);
    sortRow(offsets[row]!, offsets[row + 1]!, x, jump, facet);
  }
}

/** Sorts the crossings start … end − 1 of one row. */
export function sortRow(
  start: number,
  end: number,
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array | null,
): void {
  if (end - start <= INSERTION_LIMIT) insertionSort(start, end, x, jump, facet);
  else heapSort(start, end, x, jump, facet);
}

function insertionSort(
  start: number,
  end: number,
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array | null,
): void {
  for (let i = start + 1; i < end; i++) {
    const xi = x[i]!;
    if (xi > x[i - 1]!) continue;
    const ji = jump[i]!;
    const fi = facet === null ? 0 : facet[i]!;
    let at = i;
    while (at > start) {
      const p = at - 1;
      const xp = x[p]!;
      if (xp < xi) break;
      if (xp === xi && (jump[p]! > ji || (jump[p]! === ji && (facet === null || facet[p]! <= fi)))) break;
      x[at] = xp;
      jump[at] = jump[p]!;
      if (facet) facet[at] = facet[p]!;
      at = p;
    }
    x[at] = xi;
    jump[at] = ji;
    if (facet) facet[at] = fi;
  }
}

function isAfter(i: number, j: number, x: Float32Array, jump: Int8Array, facet: Uint32Array | null): boolean {
  if (x[i]! !== x[j]!) return x[i]! > x[j]!;
  if (jump[i]! !== jump[j]!) return jump[i]! < jump[j]!;
  return facet !== null && facet[i]! > facet[j]!;
}

function swap(i: number, j: number, x: Float32Array, jump: Int8Array, facet: Uint32Array | null): void {
  const xi = x[i]!;
  x[i] = x[j]!;
  x[j] = xi;
  const ji = jump[i]!;
  jump[i] = jump[j]!;
  jump[j] = ji;
  if (facet) {
    const fi = facet[i]!;
    facet[i] = facet[j]!;
    facet[j] = fi;
  }
}

function heapSort(
  start: number,
  end: number,
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array | null,
): void {
  const count = end - start;
  for (let root = (count >> 1) - 1; root >= 0; root--) siftDown(root, count, start, x, jump, facet);
  for (let last = count - 1; last > 0; last--) {
    swap(start, start + last, x, jump, facet);
    siftDown(0, last, start, x, jump, facet);
  }
}

function siftDown(
  root: number,
  count: number,
  start: number,
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array | null,
): void {
  let parent = root;
  for (;;) {
    let child = 2 * parent + 1;
    if (child >= count) return;
    if (child + 1 < count && isAfter(start + child + 1, start + child, x, jump, facet)) child++;
    if (!isAfter(start + child, start + parent, x, jump, facet)) return;
    swap(start + child, start + parent, x, jump, facet);
    parent = child;
  }
}

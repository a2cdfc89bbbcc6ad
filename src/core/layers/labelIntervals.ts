import type { LayerRows } from '../rays/runsByLayer.ts';
import { findRoot, joinSets } from '../unionFind.ts';

const NONE = 0xffffffff;

/**
 * The connected pieces of a layer, void and solid at once. The n ends of a row part it into n + 1
 * intervals, void and solid by turns; interval i of row r stands at 2·(runs before the row) + r + i
 * of `label`. Void regions are numbered 0 … regions − 1, solid pieces on from there, each kind in
 * order of its first interval.
 */
export interface LayerIntervals {
  label: Uint32Array;
  regions: number;
  pieces: number;
}

export const layerIntervals = (): LayerIntervals => ({ label: new Uint32Array(4096), regions: 0, pieces: 0 });

/** Sets of provisional labels, kept from layer to layer so that none are allocated. */
export interface IntervalSets {
  parent: Uint32Array;
  final: Uint32Array;
  isSolid: Uint8Array;
  count: number;
}

export const intervalSets = (): IntervalSets => ({
  parent: new Uint32Array(1024),
  final: new Uint32Array(1024),
  isSolid: new Uint8Array(1024),
  count: 0,
});

/**
 * Labels a layer. Intervals of one kind in neighbouring rows join where they overlap by more than a
 * point. Rows whose ends alternate with those of the row before, as walls do, take its labels over.
 */
export function labelIntervals(
  { offsets, ends, base }: LayerRows,
  rows: number,
  xLow: number,
  xHigh: number,
  sets: IntervalSets,
  out: LayerIntervals,
): void {
  const firstEnd = 2 * offsets[base]!;
  const intervals = 2 * offsets[base + rows]! - firstEnd + rows;
  if (intervals > out.label.length) out.label = new Uint32Array(intervals + (intervals >> 1));
  const { label } = out;
  sets.count = 0;
  let before = 0;
  let beforeCount = -1;
  for (let row = 0; row < rows; row++) {
    const start = 2 * offsets[base + row]!;
    const count = 2 * offsets[base + row + 1]! - start;
    const at = start - firstEnd + row;
    const beforeAt = before - firstEnd + row - 1;
    if (count === beforeCount && alternate(ends, before, start, count)) {
      for (let i = 0; i <= count; i++) label[at + i] = label[beforeAt + i]!;
    } else {
      label.fill(NONE, at, at + count + 1);
      if (row > 0) {
        joinRows(ends, before, beforeCount, beforeAt, start, count, at, xLow, xHigh, sets.parent, label);
      }
      for (let i = 0; i <= count; i++) if (label[at + i] === NONE) label[at + i] = newLabel(sets, i & 1);
    }
    before = start;
    beforeCount = count;
  }
  numberLabels(sets, out);
  const { final } = sets;
  for (let i = 0; i < intervals; i++) label[i] = final[label[i]!]!;
}

/**
 * Whether each end of one row lies between the neighbours of its like in the other, so that
 * interval i of one meets interval i of the other and no other of its kind.
 */
export function alternate(ends: Float32Array, a: number, b: number, count: number): boolean {
  for (let i = 1; i < count; i++) {
    if (ends[a + i - 1]! >= ends[b + i]! || ends[b + i - 1]! >= ends[a + i]!) return false;
  }
  return true;
}

function joinRows(
  ends: Float32Array,
  a: number,
  countA: number,
  atA: number,
  b: number,
  countB: number,
  atB: number,
  xLow: number,
  xHigh: number,
  parent: Uint32Array,
  label: Uint32Array,
): void {
  let i = 0;
  let j = 0;
  let startA = xLow;
  let startB = xLow;
  for (;;) {
    const endA = i < countA ? ends[a + i]! : xHigh;
    const endB = j < countB ? ends[b + j]! : xHigh;
    if (((i ^ j) & 1) === 0 && Math.max(startA, startB) < Math.min(endA, endB)) {
      const known = label[atB + j]!;
      if (known === NONE) label[atB + j] = label[atA + i]!;
      else if (known !== label[atA + i]!) joinSets(parent, known, label[atA + i]!);
    }
    if (i === countA && j === countB) return;
    if (endA < endB) {
      i++;
      startA = endA;
    } else {
      j++;
      startB = endB;
    }
  }
}

function newLabel(sets: IntervalSets, isSolid: number): number {
  if (sets.count === sets.parent.length) {
    const parent = new Uint32Array(2 * sets.count);
    parent.set(sets.parent);
    const solid = new Uint8Array(2 * sets.count);
    solid.set(sets.isSolid);
    Object.assign(sets, { parent, isSolid: solid, final: new Uint32Array(2 * sets.count) });
  }
  sets.parent[sets.count] = sets.count;
  sets.isSolid[sets.count] = isSolid;
  return sets.count++;
}

/** Numbers the sets: a set's root is its first label, and labels were given in order. */
function numberLabels({ parent, isSolid, final, count }: IntervalSets, out: LayerIntervals): void {
  out.regions = 0;
  out.pieces = 0;
  for (let label = 0; label < count; label++) {
    const root = findRoot(parent, label);
    if (root !== label) final[label] = final[root]!;
    else final[label] = isSolid[label] === 1 ? out.pieces++ : out.regions++;
  }
  for (let label = 0; label < count; label++) if (isSolid[label] === 1) final[label]! += out.regions;
}

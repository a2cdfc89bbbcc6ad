import type { Lattice } from '../rays/lattice.ts';
import { rowY } from '../rays/lattice.ts';
import type { LayerRows } from '../rays/runsByLayer.ts';
import { alternate, type LayerIntervals } from './labelIntervals.ts';
import { addToPair, clearPairs, createPairSums, type PairSums } from './pairSums.ts';

/** Sums per label of one layer's intervals (see `LayerIntervals`), kept from layer to layer. */
export interface LayerSums {
  length: Float64Array;
  lengthX: Float64Array;
  lengthY: Float64Array;
  /** −1 before the label's first row. */
  firstRow: Int32Array;
  lastRow: Int32Array;
  /** The label's first interval. */
  firstInterval: Uint32Array;
  /** 1 where it reaches the border of the layer. */
  open: Uint8Array;
  /** The entry of `contacts` the label was last met in. */
  lastContact: Uint32Array;
  /** Overlaps (mm of row) of labels of the layer below with labels of this one. */
  readonly contacts: PairSums;
  /** mm of row that are solid. */
  solidLength: number;
}

export const layerSums = (): LayerSums => ({ ...columns(256), contacts: createPairSums(), solidLength: 0 });

const columns = (size: number) => ({
  length: new Float64Array(size),
  lengthX: new Float64Array(size),
  lengthY: new Float64Array(size),
  firstRow: new Int32Array(size),
  lastRow: new Int32Array(size),
  firstInterval: new Uint32Array(size),
  open: new Uint8Array(size),
  lastContact: new Uint32Array(size),
});

/** Lengths, moments, extents and reach of every label of a layer, and its contacts with the layer below. */
export function sumLayer(
  sums: LayerSums,
  here: LayerRows,
  intervals: LayerIntervals,
  below: LayerRows | null,
  intervalsBelow: LayerIntervals,
  lattice: Lattice,
  xLow: number,
  xHigh: number,
): void {
  clear(sums, intervals.regions + intervals.pieces);
  sumIntervals(sums, here, intervals.label, lattice, xLow, xHigh);
  if (below) sumContacts(sums, here, intervals.label, below, intervalsBelow.label, lattice.rows, xLow, xHigh);
}

function clear(sums: LayerSums, labels: number): void {
  if (labels > sums.length.length) Object.assign(sums, columns(2 * labels));
  sums.length.fill(0, 0, labels);
  sums.lengthX.fill(0, 0, labels);
  sums.lengthY.fill(0, 0, labels);
  sums.firstRow.fill(-1, 0, labels);
  sums.open.fill(0, 0, labels);
  sums.lastContact.fill(0, 0, labels);
  clearPairs(sums.contacts);
}

function sumIntervals(
  sums: LayerSums,
  { offsets, ends, base }: LayerRows,
  label: Uint32Array,
  lattice: Lattice,
  xLow: number,
  xHigh: number,
): void {
  const { length, lengthX, lengthY, firstRow, lastRow, firstInterval, open } = sums;
  const { rows } = lattice;
  const firstEnd = 2 * offsets[base]!;
  let solidLength = 0;
  for (let row = 0; row < rows; row++) {
    const y = rowY(lattice, row);
    const start = 2 * offsets[base + row]!;
    const count = 2 * offsets[base + row + 1]! - start;
    const at = start - firstEnd + row;
    let low = xLow;
    for (let i = 0; i <= count; i++) {
      const high = i < count ? ends[start + i]! : xHigh;
      const of = label[at + i]!;
      const extent = high - low;
      if (firstRow[of]! < 0) {
        firstRow[of] = row;
        firstInterval[of] = at + i;
      }
      lastRow[of] = row;
      length[of]! += extent;
      lengthX[of]! += (extent * (high + low)) / 2;
      lengthY[of]! += extent * y;
      if ((i & 1) === 1) solidLength += extent;
      low = high;
    }
    open[label[at]!] = 1;
    open[label[at + count]!] = 1;
    if (row === 0 || row === rows - 1) for (let i = 0; i <= count; i += 2) open[label[at + i]!] = 1;
  }
  sums.solidLength = solidLength;
}

function sumContacts(
  sums: LayerSums,
  here: LayerRows,
  label: Uint32Array,
  below: LayerRows,
  labelBelow: Uint32Array,
  rows: number,
  xLow: number,
  xHigh: number,
): void {
  const { ends } = here;
  const firstHere = 2 * here.offsets[here.base]!;
  const firstBelow = 2 * below.offsets[below.base]!;
  for (let row = 0; row < rows; row++) {
    const b = 2 * here.offsets[here.base + row]!;
    const count = 2 * here.offsets[here.base + row + 1]! - b;
    const a = 2 * below.offsets[below.base + row]!;
    const countBelow = 2 * below.offsets[below.base + row + 1]! - a;
    const atB = b - firstHere + row;
    const atA = a - firstBelow + row;
    if (count !== countBelow || !alternate(ends, a, b, count)) {
      contactsOfRows(sums, ends, a, countBelow, atA, labelBelow, b, count, atB, label, xLow, xHigh);
      continue;
    }
    let low = xLow;
    for (let i = 0; i < count; i++) {
      const endA = ends[a + i]!;
      const endB = ends[b + i]!;
      addContact(sums, labelBelow[atA + i]!, label[atB + i]!, Math.min(endA, endB) - low);
      low = Math.max(endA, endB);
    }
    addContact(sums, labelBelow[atA + count]!, label[atB + count]!, xHigh - low);
  }
}

function contactsOfRows(
  sums: LayerSums,
  ends: Float32Array,
  a: number,
  countA: number,
  atA: number,
  labelA: Uint32Array,
  b: number,
  countB: number,
  atB: number,
  labelB: Uint32Array,
  xLow: number,
  xHigh: number,
): void {
  let i = 0;
  let j = 0;
  let startA = xLow;
  let startB = xLow;
  for (;;) {
    const endA = i < countA ? ends[a + i]! : xHigh;
    const endB = j < countB ? ends[b + j]! : xHigh;
    if (((i ^ j) & 1) === 0) {
      const overlap = Math.min(endA, endB) - Math.max(startA, startB);
      if (overlap > 0) addContact(sums, labelA[atA + i]!, labelB[atB + j]!, overlap);
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

/** A label mostly meets the label it met last, which spares the search for the pair. */
function addContact(
  { contacts, lastContact }: LayerSums,
  below: number,
  above: number,
  overlap: number,
): void {
  const entry = lastContact[above]!;
  if (contacts.first[entry] === below && contacts.second[entry] === above && entry < contacts.count) {
    contacts.sum[entry]! += overlap;
    return;
  }
  lastContact[above] = addToPair(contacts, below, above, overlap);
}

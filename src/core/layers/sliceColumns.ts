import { findRun } from '../rays/findRun.ts';
import type { LayerRows } from '../rays/runsByLayer.ts';
import type { CeilingCandidate } from './ceilings.ts';
import type { LayerIntervals } from './labelIntervals.ts';
import type {
  CeilingColumns,
  ContactColumns,
  LayerSlice,
  PieceColumns,
  PointColumns,
  RegionColumns,
  StartColumns,
} from './layerSlice.ts';
import type { LayerSums } from './layerSums.ts';
import type { PairSums } from './pairSums.ts';
import type { ChamberRows } from './sweepLayers.ts';

/** A layer of the sweep with its labels. */
export interface SweptLayer {
  readonly layer: number;
  readonly solid: LayerRows;
  readonly chambers: ChamberRows | null;
  readonly intervals: LayerIntervals;
}

type Growing<T> = { readonly [K in keyof T]: number[] };

/** The columns of a slice while they grow, one entry a region, piece, contact, start or ceiling. */
export interface SliceColumns {
  readonly skin: Float64Array;
  readonly chambers: Float64Array;
  readonly solid: Float64Array;
  readonly overhang: Float64Array;
  readonly regions: Growing<RegionColumns>;
  readonly regionContacts: Growing<ContactColumns>;
  readonly pieces: Growing<PieceColumns>;
  readonly pieceContacts: Growing<ContactColumns>;
  readonly starts: Growing<StartColumns>;
  readonly ceilings: Growing<Omit<CeilingColumns, 'runRow' | 'runEnds'>>;
  readonly ceilingRuns: CeilingCandidate[];
}

export function sliceColumns(from: number, to: number): SliceColumns {
  const byLayer = (): Float64Array => new Float64Array(to - from);
  const points = (): Growing<PointColumns> => ({ layer: [], row: [], x: [], inChamber: [], regionBelow: [] });
  return {
    skin: byLayer(),
    chambers: byLayer(),
    solid: byLayer(),
    overhang: byLayer(),
    regions: { start: [0], area: [], enclosed: [], centroid: [], rowSpan: [], chamber: [] },
    regionContacts: { start: [0], below: [], above: [], area: [] },
    pieces: { start: [0], area: [], centroidX: [], centroidY: [], rowSpan: [] },
    pieceContacts: { start: [0], below: [], above: [], area: [] },
    starts: { ...points(), piece: [] },
    ceilings: { ...points(), areaMm2: [], spanMm: [], runStart: [0] },
    ceilingRuns: [],
  };
}

/** `chamberPairs` are the overlaps of the layer's regions with chambers. */
export function keepRegions(
  { regions }: SliceColumns,
  sums: LayerSums,
  count: number,
  dy: number,
  chamberPairs: PairSums,
): void {
  const first = regions.area.length;
  for (let region = 0; region < count; region++) {
    const length = sums.length[region]!;
    regions.area.push(length * dy);
    regions.enclosed.push(1 - sums.open[region]!);
    regions.centroid.push(sums.lengthX[region]! / length, sums.lengthY[region]! / length);
    regions.rowSpan.push(sums.lastRow[region]! - sums.firstRow[region]! + 1);
    regions.chamber.push(-1);
  }
  regions.start.push(first + count);
  // The chamber that fills at least half of a region.
  for (let pair = 0; pair < chamberPairs.count; pair++) {
    const region = first + chamberPairs.first[pair]!;
    if (chamberPairs.sum[pair]! * dy >= regions.area[region]! / 2) {
      regions.chamber[region] = chamberPairs.second[pair]!;
    }
  }
}

export function keepPieces(
  { pieces }: SliceColumns,
  sums: LayerSums,
  { regions, pieces: count }: LayerIntervals,
  dy: number,
): void {
  for (let label = regions; label < regions + count; label++) {
    const length = sums.length[label]!;
    pieces.area.push(length * dy);
    pieces.centroidX.push(sums.lengthX[label]! / length);
    pieces.centroidY.push(sums.lengthY[label]! / length);
    pieces.rowSpan.push(sums.lastRow[label]! - sums.firstRow[label]! + 1);
  }
  pieces.start.push(pieces.area.length);
}

/** Returns, per piece of the layer, 1 where nothing solid lies below it. */
export function keepContacts(
  { regionContacts, pieceContacts }: SliceColumns,
  contacts: PairSums,
  { regions, pieces }: LayerIntervals,
  regionsBelow: number,
  dy: number,
): Uint8Array {
  const isStart = new Uint8Array(pieces).fill(1);
  for (let entry = 0; entry < contacts.count; entry++) {
    const below = contacts.first[entry]!;
    const above = contacts.second[entry]!;
    const area = contacts.sum[entry]! * dy;
    if (below < regionsBelow) {
      pushContact(regionContacts, below, above, area);
    } else {
      pushContact(pieceContacts, below - regionsBelow, above - regions, area);
      isStart[above - regions] = 0;
    }
  }
  regionContacts.start.push(regionContacts.area.length);
  pieceContacts.start.push(pieceContacts.area.length);
  return isStart;
}

function pushContact(columns: Growing<ContactColumns>, below: number, above: number, area: number): void {
  columns.below.push(below);
  columns.above.push(above);
  columns.area.push(area);
}

/** Starts with the middle of their first run, a point that is surely in them. */
export function keepStarts(
  { starts, pieces }: SliceColumns,
  here: SweptLayer,
  below: SweptLayer,
  sums: LayerSums,
  isStart: Uint8Array,
  xLow: number,
  xHigh: number,
): void {
  const { offsets, ends, base } = here.solid;
  const firstEnd = 2 * offsets[base]!;
  const firstPiece = pieces.area.length - isStart.length;
  for (let piece = 0; piece < isStart.length; piece++) {
    if (isStart[piece] === 0) continue;
    const label = here.intervals.regions + piece;
    const row = sums.firstRow[label]!;
    const end = firstEnd + sums.firstInterval[label]! - row;
    const x = (ends[end - 1]! + ends[end]!) / 2;
    starts.piece.push(firstPiece + piece);
    keepPoint(starts, here.layer, row, x, below, xLow, xHigh);
  }
}

/** Leaves islands out: they hang on nothing and are told as islands. */
export function keepCeiling(
  columns: SliceColumns,
  ceiling: CeilingCandidate,
  here: SweptLayer,
  below: SweptLayer,
  isStart: Uint8Array,
  xLow: number,
  xHigh: number,
): void {
  const { layer, row, x } = ceiling;
  const { solid, intervals } = here;
  const run = findRun(solid, solid.base + row, x);
  if (run >= 0) {
    const label = intervals.label[2 * (run - solid.offsets[solid.base]!) + 1 + row]!;
    if (isStart[label - intervals.regions] === 1) return;
  }
  const { ceilings, ceilingRuns } = columns;
  keepPoint(ceilings, layer, row, x, below, xLow, xHigh);
  ceilings.areaMm2.push(ceiling.areaMm2);
  ceilings.spanMm.push(ceiling.spanMm);
  ceilings.runStart.push(ceilings.runStart[ceilings.runStart.length - 1]! + ceiling.runRow.length);
  ceilingRuns.push(ceiling);
}

function keepPoint(
  points: Growing<PointColumns>,
  layer: number,
  row: number,
  x: number,
  { solid, chambers, intervals }: SweptLayer,
  xLow: number,
  xHigh: number,
): void {
  points.layer.push(layer);
  points.row.push(row);
  points.x.push(x);
  points.inChamber.push(chambers !== null && findRun(chambers, chambers.base + row, x) >= 0 ? 1 : 0);
  points.regionBelow.push(regionAt(solid, intervals, row, x, xLow, xHigh));
}

/** The void region of a layer that holds a point, −1 where there is solid; a run's ends belong to both. */
function regionAt(
  { offsets, ends, base }: LayerRows,
  { label }: LayerIntervals,
  row: number,
  x: number,
  xLow: number,
  xHigh: number,
): number {
  const start = 2 * offsets[base + row]!;
  const count = 2 * offsets[base + row + 1]! - start;
  let i = 0;
  while (i < count && ends[start + i]! < x) i += 2;
  const low = i > 0 ? ends[start + i - 1]! : xLow;
  if (x < low || (i === count && x > xHigh)) return -1;
  return label[start - 2 * offsets[base]! + row + i]!;
}

export function sliceOf(
  columns: SliceColumns,
  from: number,
  to: number,
  rows: LayerRows,
  xLow: number,
  xHigh: number,
): LayerSlice {
  const { skin, chambers, solid, overhang, regions, pieces, starts, ceilings } = columns;
  return {
    from,
    to,
    xLow,
    xHigh,
    areas: { skin, chambers, solid, overhang },
    rows,
    regions: {
      start: new Uint32Array(regions.start),
      area: new Float64Array(regions.area),
      enclosed: new Uint8Array(regions.enclosed),
      centroid: new Float32Array(regions.centroid),
      rowSpan: new Uint32Array(regions.rowSpan),
      chamber: new Int32Array(regions.chamber),
    },
    regionContacts: contactColumns(columns.regionContacts),
    pieces: {
      start: new Uint32Array(pieces.start),
      area: new Float64Array(pieces.area),
      centroidX: new Float64Array(pieces.centroidX),
      centroidY: new Float64Array(pieces.centroidY),
      rowSpan: new Uint32Array(pieces.rowSpan),
    },
    pieceContacts: contactColumns(columns.pieceContacts),
    starts: { ...pointColumns(starts), piece: new Uint32Array(starts.piece) },
    ceilings: {
      ...pointColumns(ceilings),
      areaMm2: new Float64Array(ceilings.areaMm2),
      spanMm: new Float64Array(ceilings.spanMm),
      runStart: new Uint32Array(ceilings.runStart),
      ...joinedRuns(columns.ceilingRuns),
    },
  };
}

const contactColumns = ({ start, below, above, area }: Growing<ContactColumns>): ContactColumns => ({
  start: new Uint32Array(start),
  below: new Uint32Array(below),
  above: new Uint32Array(above),
  area: new Float64Array(area),
});

const pointColumns = ({ layer, row, x, inChamber, regionBelow }: Growing<PointColumns>): PointColumns => ({
  layer: new Uint32Array(layer),
  row: new Uint32Array(row),
  x: new Float64Array(x),
  inChamber: new Uint8Array(inChamber),
  regionBelow: new Int32Array(regionBelow),
});

function joinedRuns(ceilings: readonly CeilingCandidate[]): { runRow: Uint32Array; runEnds: Float32Array } {
  const count = ceilings.reduce((sum, { runRow }) => sum + runRow.length, 0);
  const runRow = new Uint32Array(count);
  const runEnds = new Float32Array(2 * count);
  let at = 0;
  for (const ceiling of ceilings) {
    runRow.set(ceiling.runRow, at);
    runEnds.set(ceiling.runEnds, 2 * at);
    at += ceiling.runRow.length;
  }
  return { runRow, runEnds };
}

import { findRun } from '../rays/findRun.ts';
import { type Lattice, rowY } from '../rays/lattice.ts';
import { type RunsByLayer, rowsOfLayer } from '../rays/runsByLayer.ts';
import { widestCeilings } from './ceilings.ts';
import { findIslands } from './islands.ts';
import type { Ceiling, Island, LayerFigures } from './layerFigures.ts';
import type { LayerOptions } from './layerOptions.ts';
import type { ContactColumns, LayerSlice, PointColumns } from './layerSlice.ts';
import { selfSupportReach } from './overhangs.ts';
import type { LabelledVoid, VoidGraph } from './voidGraph.ts';

/** A part by layers: all that is measured before openings are placed. */
export interface MeasuredLayers {
  /** Volume of the skin, hollow filled, and of the chambers, mm³. */
  readonly skinMm3: number;
  readonly chambersMm3: number;
  /** The part with its cavity taken out, openings uncut. */
  readonly solid: RunsByLayer;
  readonly figures: LayerFigures;
  readonly graph: VoidGraph;
  readonly labels: LabelledVoid;
}

/** Joins the slices of a part, in ascending order and without a gap from layer 0 to the last. */
export function joinLayerSlices(
  lattice: Lattice,
  slices: readonly LayerSlice[],
  options: LayerOptions,
): MeasuredLayers {
  checkSlices(lattice, slices);
  const solid = { lattice, blocks: slices.map(({ from, to, rows }) => ({ from, to, rows })) };
  const graph = joinGraph(lattice, slices);
  const labels = { solid, regionStart: graph.regionStart, xLow: slices[0]!.xLow, xHigh: slices[0]!.xHigh };
  const areas = (key: keyof LayerSlice['areas']): Float64Array =>
    joined(slices, (slice) => slice.areas[key], Float64Array);
  const islands = joinIslands(solid, graph, slices);
  const figures = {
    layers: lattice.layers,
    layerHeight: lattice.dz,
    area: areas('solid'),
    overhang: areas('overhang'),
    ...islands,
    ceilings: joinCeilings(solid, graph, slices, options),
  };
  const volumeOf = (layers: Float64Array): number => layers.reduce((sum, area) => sum + area, 0) * lattice.dz;
  return {
    skinMm3: volumeOf(areas('skin')),
    chambersMm3: volumeOf(areas('chambers')),
    solid,
    figures,
    graph,
    labels,
  };
}

function checkSlices({ layers }: Lattice, slices: readonly LayerSlice[]): void {
  let next = 0;
  for (const { from, to } of slices) {
    if (from !== next) throw new Error(`layer slices do not meet: ${from} after ${next}`);
    next = to;
  }
  if (slices.length === 0 || next !== layers) throw new Error(`layer slices end at ${next} of ${layers}`);
}

interface Settable<T> {
  readonly length: number;
  set(values: T, at: number): void;
}

/** A column of all slices in one array. */
function joined<T extends Settable<T>>(
  slices: readonly LayerSlice[],
  column: (slice: LayerSlice) => T,
  Column: new (length: number) => T,
): T {
  if (slices.length === 1) return column(slices[0]!);
  const result = new Column(slices.reduce((sum, slice) => sum + column(slice).length, 0));
  let at = 0;
  for (const slice of slices) {
    result.set(column(slice), at);
    at += column(slice).length;
  }
  return result;
}

/** Running counts (`start`, `offsets`) of all slices in one array: each slice goes on from the one before. */
function joinedCounts(
  slices: readonly LayerSlice[],
  column: (slice: LayerSlice) => Uint32Array,
): Uint32Array {
  if (slices.length === 1) return column(slices[0]!);
  const result = new Uint32Array(slices.reduce((sum, slice) => sum + column(slice).length - 1, 1));
  let at = 0;
  for (const slice of slices) {
    const counts = column(slice);
    const shift = result[at]!;
    for (let i = 1; i < counts.length; i++) result[at + i] = shift + counts[i]!;
    at += counts.length - 1;
  }
  return result;
}

function joinGraph({ layers, dz }: Lattice, slices: readonly LayerSlice[]): VoidGraph {
  const regionStart = joinedCounts(slices, (slice) => slice.regions.start);
  const contacts = joinContacts(slices, (slice) => slice.regionContacts, regionStart);
  return {
    layers,
    layerHeight: dz,
    regionStart,
    contactStart: contacts.start,
    area: joined(slices, (slice) => slice.regions.area, Float64Array),
    enclosed: joined(slices, (slice) => slice.regions.enclosed, Uint8Array),
    centroid: joined(slices, (slice) => slice.regions.centroid, Float32Array),
    rowSpan: joined(slices, (slice) => slice.regions.rowSpan, Uint32Array),
    chamber: joined(slices, (slice) => slice.regions.chamber, Int32Array),
    contactBelow: contacts.below,
    contactAbove: contacts.above,
    contactArea: contacts.area,
  };
}

/** Contacts numbered by the part: `nodeStart` says where each layer's nodes begin. */
function joinContacts(
  slices: readonly LayerSlice[],
  columnsOf: (slice: LayerSlice) => ContactColumns,
  nodeStart: Uint32Array,
): ContactColumns {
  const start = joinedCounts(slices, (slice) => columnsOf(slice).start);
  const area = joined(slices, (slice) => columnsOf(slice).area, Float64Array);
  const below = new Uint32Array(area.length);
  const above = new Uint32Array(area.length);
  let at = 0;
  for (const slice of slices) {
    const columns = columnsOf(slice);
    for (let layer = slice.from; layer < slice.to; layer++) {
      const last = columns.start[layer - slice.from + 1]!;
      for (let i = columns.start[layer - slice.from]!; i < last; i++) {
        below[at] = nodeStart[layer - 1]! + columns.below[i]!;
        above[at++] = nodeStart[layer]! + columns.above[i]!;
      }
    }
  }
  return { start, below, above, area };
}

/**
 * Islands in order of their first layer. Area and x, y are taken at the layer where the island is
 * first 3 rows wide; z is the underside of its first layer.
 */
function joinIslands(
  solid: RunsByLayer,
  graph: VoidGraph,
  slices: readonly LayerSlice[],
): { islands: Island[]; specksLeftOut: number } {
  const { lattice } = solid;
  const start = joinedCounts(slices, (slice) => slice.pieces.start);
  const contacts = joinContacts(slices, (slice) => slice.pieceContacts, start);
  const area = joined(slices, (slice) => slice.pieces.area, Float64Array);
  const centroidX = joined(slices, (slice) => slice.pieces.centroidX, Float64Array);
  const centroidY = joined(slices, (slice) => slice.pieces.centroidY, Float64Array);
  const rowSpan = joined(slices, (slice) => slice.pieces.rowSpan, Uint32Array);
  const { first, resolved, specksLeftOut } = findIslands({ lattice }, { start }, contacts, { rowSpan });
  const startOf = new Map<number, { points: PointColumns; i: number }>();
  let shift = 0;
  for (const { starts, pieces } of slices) {
    starts.piece.forEach((piece, i) => {
      startOf.set(shift + piece, { points: starts, i });
    });
    shift += pieces.area.length;
  }
  const order = first.map((_, i) => i).sort((a, b) => first[a]! - first[b]!);
  const islands = order.map((i): Island => {
    const { points, i: at } = startOf.get(first[i]!)!;
    const layer = points.layer[at]!;
    const shown = resolved[i]!;
    return {
      layer,
      areaMm2: area[shown]!,
      at: [centroidX[shown]!, centroidY[shown]!, lattice.z0 + layer * lattice.dz],
      inside: isInside(points, at, solid, graph),
    };
  });
  return { islands, specksLeftOut };
}

/** Ceilings by layer, one for each that spreads over several (`widestCeilings`). */
function joinCeilings(
  solid: RunsByLayer,
  graph: VoidGraph,
  slices: readonly LayerSlice[],
  { selfSupportDeg }: LayerOptions,
): Ceiling[] {
  const { lattice } = solid;
  const candidates = slices.flatMap(({ ceilings }) =>
    Array.from(ceilings.layer, (layer, i) => ({
      layer,
      areaMm2: ceilings.areaMm2[i]!,
      spanMm: ceilings.spanMm[i]!,
      row: ceilings.row[i]!,
      x: ceilings.x[i]!,
      runRow: ceilings.runRow.subarray(ceilings.runStart[i]!, ceilings.runStart[i + 1]!),
      runEnds: ceilings.runEnds.subarray(2 * ceilings.runStart[i]!, 2 * ceilings.runStart[i + 1]!),
      inside: () => isInside(ceilings, i, solid, graph),
    })),
  );
  const reach = selfSupportReach(lattice.dz, selfSupportDeg);
  return widestCeilings(candidates, reach, lattice.dy).map((i) => {
    const { layer, areaMm2, spanMm, row, x, inside } = candidates[i]!;
    const at = [x, rowY(lattice, row), lattice.z0 + layer * lattice.dz] as const;
    return { layer, areaMm2, spanMm, at, inside: inside() };
  });
}

/**
 * Whether the void just below a point lies inside: in a chamber, or in a region enclosed by solid
 * within the layer and cut off from the plate below. Under a skirt or a bucket that opens toward the
 * plate a support reaches up.
 */
function isInside(
  { layer, row, x, inChamber, regionBelow }: PointColumns,
  i: number,
  solid: RunsByLayer,
  { regionStart, enclosed }: VoidGraph,
): boolean {
  if (inChamber[i] === 1) return true;
  if (regionBelow[i]! < 0) return false;
  const below = layer[i]! - 1;
  return enclosed[regionStart[below]! + regionBelow[i]!] === 1 && !seesPlate(solid, below, row[i]!, x[i]!);
}

function seesPlate(solid: RunsByLayer, layer: number, row: number, x: number): boolean {
  for (let below = layer; below >= 0; below--) {
    const rows = rowsOfLayer(solid, below);
    if (findRun(rows, rows.base + row, x) >= 0) return false;
  }
  return true;
}

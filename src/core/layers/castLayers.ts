import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { type CastBands, castBands, castNextBand, crossingsOfLayer, gatherLayer } from '../rays/castBands.ts';
import { FIRST_ONLY } from '../rays/combineRuns.ts';
import type { Lattice } from '../rays/lattice.ts';
import { expectedCrossings } from '../rays/layerLoads.ts';
import { type LayerSpans, layerSpans } from '../rays/layerSpans.ts';
import { chambersOfRow, combineRow, solidOfRow, takeOutNested } from '../rays/rowRuns.ts';
import { sortRow } from '../rays/sortCrossings.ts';
import { voidBounds } from '../rays/voidRuns.ts';
import type { ChamberRows, EnteredLayer, LayerSource } from './sweepLayers.ts';

/** A posed part: closed meshes in the print frame, mm. Arrays over shared memory do as well. */
export interface LayerInput {
  readonly lattice: Lattice;
  readonly skin: Mesh;
  /** Oriented as a solid of its own; `facetChamber` numbers its facets' chambers. */
  readonly cavity: { readonly mesh: Mesh; readonly facetChamber: Uint32Array } | null;
  /** Of both meshes, for whoever casts many ranges; found anew where absent. */
  readonly spans?: PartSpans;
}

export interface PartSpans {
  readonly skin: LayerSpans;
  readonly cavity: LayerSpans | null;
}

export const spansOf = ({ lattice, skin, cavity }: LayerInput, interrupter: Interrupter): PartSpans => ({
  skin: layerSpans(skin, lattice, interrupter),
  cavity: cavity && layerSpans(cavity.mesh, lattice, interrupter),
});

/** The crossings of one layer, row by row. */
interface LayerScratch {
  readonly offsets: Uint32Array;
  x: Float32Array;
  jump: Int8Array;
  facet: Uint32Array | null;
}

/**
 * The layers from … to − 1 of a part, its cavity taken out of its skin, cast from its meshes. What
 * one layer takes is used again for the next; only rows of solid are kept.
 */
export function castLayers(
  input: LayerInput,
  from: number,
  to: number,
  interrupter: Interrupter,
): LayerSource {
  const { lattice, skin, cavity } = input;
  const { rows } = lattice;
  const spans = input.spans ?? spansOf(input, interrupter);
  const outer = castBands(skin, lattice, spans.skin, from, to, false, interrupter);
  const inner = cavity && castBands(cavity.mesh, lattice, spans.cavity!, from, to, true, interrupter);
  const outerScratch = layerScratch(rows, false);
  const innerScratch = layerScratch(rows, true);
  const offsets = new Uint32Array((to - from) * rows + 1);
  let ends: Float32Array = new Float32Array(1.1 * expectedEnds(input, spans, from, to));
  let skinRow = new Float32Array(1024);
  let chambers = chamberRows(rows);
  let spare = chamberRows(rows);
  let written = 0;

  const enter = (layer: number): EnteredLayer => {
    const base = (layer - from) * rows;
    const crossings = gather(outer, layer, outerScratch, interrupter);
    const innerCrossings = inner ? gather(inner, layer, innerScratch, interrupter) : 0;
    // A crossing ends at most one run.
    if (written + crossings + innerCrossings > ends.length) {
      ends = enlarged(ends, 2 * (written + crossings + innerCrossings));
    }
    if (cavity === null) {
      const start = written;
      written = writeSolid(outerScratch, rows, offsets, base, ends, written);
      const solid = { offsets, ends, base };
      return { solid, chambers: null, skinLength: lengthOf(ends, start, written), chamberLength: 0 };
    }
    if (crossings > skinRow.length) skinRow = new Float32Array(2 * crossings);
    [chambers, spare] = [spare, chambers];
    const runs = writeChambers(innerScratch, cavity.facetChamber, rows, innerCrossings, chambers);
    const skinLength = { mm: 0 };
    written = writeHollowed(outerScratch, chambers, skinRow, rows, offsets, base, ends, written, skinLength);
    return {
      solid: { offsets, ends, base },
      chambers: { ...chambers },
      skinLength: skinLength.mm,
      chamberLength: lengthOf(chambers.ends, 0, 2 * runs),
    };
  };
  return { lattice, ...boundsInX(skin, lattice.dy), enter };
}

function expectedEnds({ skin, cavity }: LayerInput, spans: PartSpans, from: number, to: number): number {
  const inner = cavity ? expectedCrossings(cavity.mesh, spans.cavity!.loads, from, to) : 0;
  return 1024 + expectedCrossings(skin, spans.skin.loads, from, to) + inner;
}

const layerScratch = (rows: number, withFacets: boolean): LayerScratch => ({
  offsets: new Uint32Array(rows + 1),
  x: new Float32Array(1024),
  jump: new Int8Array(1024),
  facet: withFacets ? new Uint32Array(1024) : null,
});

/** Chamber rows whose room grows with what is written into them. */
type GrowingChambers = { -readonly [K in keyof ChamberRows]: ChamberRows[K] };

const chamberRows = (rows: number): GrowingChambers => ({
  offsets: new Uint32Array(rows + 1),
  ends: new Float32Array(1024),
  label: new Uint32Array(512),
  base: 0,
});

function enlarged(ends: Float32Array, length: number): Float32Array {
  const larger = new Float32Array(length);
  larger.set(ends);
  return larger;
}

/** Brings a layer's crossings, sorted by row; returns how many there are. */
function gather(bands: CastBands, layer: number, scratch: LayerScratch, interrupter: Interrupter): number {
  if (layer === bands.bandTo) castNextBand(bands, interrupter);
  const count = crossingsOfLayer(bands, layer);
  if (count > scratch.x.length) {
    scratch.x = new Float32Array(2 * count);
    scratch.jump = new Int8Array(2 * count);
    if (scratch.facet) scratch.facet = new Uint32Array(2 * count);
  }
  const { offsets, x, jump, facet } = scratch;
  offsets[0] = 0;
  gatherLayer(bands, layer, offsets, 0, x, jump, facet);
  for (let row = 0; row < bands.lattice.rows; row++) {
    if (offsets[row + 1]! - offsets[row]! > 1) sortRow(offsets[row]!, offsets[row + 1]!, x, jump, facet);
  }
  return count;
}

/** Writes the solid of a layer's rows from end `at` on; returns where it stops. */
function writeSolid(
  scratch: LayerScratch,
  rows: number,
  offsets: Uint32Array,
  base: number,
  ends: Float32Array,
  at: number,
): number {
  const { x, jump } = scratch;
  let written = at;
  for (let row = 0; row < rows; row++) {
    const from = scratch.offsets[row]!;
    const to = scratch.offsets[row + 1]!;
    if (from < to) written = solidOfRow(x, jump, from, to, ends, written);
    offsets[base + row + 1] = written >> 1;
  }
  return written;
}

function writeChambers(
  scratch: LayerScratch,
  facetChamber: Uint32Array,
  rows: number,
  crossings: number,
  chambers: GrowingChambers,
): number {
  const { x, jump, facet } = scratch;
  if (crossings > chambers.ends.length) {
    chambers.ends = new Float32Array(2 * crossings);
    chambers.label = new Uint32Array(crossings);
  }
  const { offsets, ends, label } = chambers;
  let runs = 0;
  for (let row = 0; row < rows; row++) {
    const from = scratch.offsets[row]!;
    const to = scratch.offsets[row + 1]!;
    if (from < to) runs = chambersOfRow(x, jump, facet!, facetChamber, from, to, ends, label, runs);
    offsets[row + 1] = runs;
  }
  return runs;
}

/** Writes the solid less the chambers, as `writeSolid` does, and tells the length before they are taken out. */
function writeHollowed(
  scratch: LayerScratch,
  chambers: ChamberRows,
  skinRow: Float32Array,
  rows: number,
  offsets: Uint32Array,
  base: number,
  ends: Float32Array,
  at: number,
  skinLength: { mm: number },
): number {
  const { x, jump } = scratch;
  let written = at;
  let length = 0;
  for (let row = 0; row < rows; row++) {
    const from = scratch.offsets[row]!;
    const to = scratch.offsets[row + 1]!;
    if (from < to) {
      const skin = solidOfRow(x, jump, from, to, skinRow, 0);
      for (let i = 0; i < skin; i += 2) length += skinRow[i + 1]! - skinRow[i]!;
      const chamber = 2 * chambers.offsets[row]!;
      const lastChamber = 2 * chambers.offsets[row + 1]!;
      if (chamber < lastChamber) {
        const inner = chambers.ends;
        const nested = takeOutNested(skinRow, 0, skin, inner, chamber, lastChamber, ends, written);
        written =
          nested >= 0
            ? nested
            : combineRow(skinRow, 0, skin, inner, chamber, lastChamber, FIRST_ONLY, ends, written);
      } else {
        for (let i = 0; i < skin; i++) ends[written++] = skinRow[i]!;
      }
    }
    offsets[base + row + 1] = written >> 1;
  }
  skinLength.mm = length;
  return written;
}

function lengthOf(ends: Float32Array, from: number, to: number): number {
  let length = 0;
  for (let i = from; i < to; i += 2) length += ends[i + 1]! - ends[i]!;
  return length;
}

/** The void's x bounds by the mesh's corners, which no crossing lies beyond. */
function boundsInX({ positions }: Mesh, dy: number): { xLow: number; xHigh: number } {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]!;
    if (x < least) least = x;
    if (x > most) most = x;
  }
  return least > most ? voidBounds(0, 0, dy) : voidBounds(least, most, dy);
}

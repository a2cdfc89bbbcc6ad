import { type Interrupter, portion } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { castCrossings, crossingsOfLayer, gatherLayer, type LayerCrossings } from '../rays/castCrossings.ts';
import { FIRST_ONLY } from '../rays/combineRuns.ts';
import type { Lattice } from '../rays/lattice.ts';
import { expectedCrossings, layerLoads } from '../rays/layerLoads.ts';
import { chambersOfRow, combineRow, solidOfRow } from '../rays/rowRuns.ts';
import { sortRow } from '../rays/sortCrossings.ts';
import { voidBounds } from '../rays/voidRuns.ts';
import type { ChamberRows, EnteredLayer, LayerSource } from './sweepLayers.ts';

/** A posed part: closed meshes in the print frame, mm. Arrays over shared memory do as well. */
export interface LayerInput {
  readonly lattice: Lattice;
  readonly skin: Mesh;
  /** Oriented as a solid of its own; `facetChamber` numbers its facets' chambers. */
  readonly cavity: { readonly mesh: Mesh; readonly facetChamber: Uint32Array } | null;
}

/** The crossings of one layer, row by row. */
interface LayerScratch {
  readonly offsets: Uint32Array;
  readonly x: Float32Array;
  readonly jump: Int8Array;
  readonly facet: Uint32Array | null;
}

/** The layers from … to − 1 of a part, its cavity taken out of its skin, cast from its meshes. */
export function castLayers(
  { lattice, skin, cavity }: LayerInput,
  from: number,
  to: number,
  interrupter: Interrupter,
): LayerSource {
  const { rows } = lattice;
  const middle = cavity ? 0.55 : 1;
  const outer = cast(skin, lattice, from, to, false, portion(interrupter, 0, middle));
  const inner = cavity ? cast(cavity.mesh, lattice, from, to, true, portion(interrupter, middle, 1)) : null;
  const outerScratch = scratchFor(outer, rows, false);
  const innerScratch = inner ? scratchFor(inner, rows, true) : null;
  const offsets = new Uint32Array((to - from) * rows + 1);
  const ends = new Float32Array(outer.count + (inner?.count ?? 0) + 2);
  const skinRow = new Float32Array(outerScratch.x.length + 2);
  let chambers = inner ? chamberRows(innerScratch!, rows) : null;
  let spare = inner ? chamberRows(innerScratch!, rows) : null;
  let written = 0;

  const enter = (layer: number): EnteredLayer => {
    const base = (layer - from) * rows;
    gather(outer, layer, rows, outerScratch);
    if (inner === null || cavity === null) {
      const start = written;
      written = writeSolid(outerScratch, rows, offsets, base, ends, written);
      const solid = { offsets, ends, base };
      return { solid, chambers: null, skinLength: lengthOf(ends, start, written), chamberLength: 0 };
    }
    [chambers, spare] = [spare, chambers];
    gather(inner, layer, rows, innerScratch!);
    const runs = writeChambers(innerScratch!, cavity.facetChamber, rows, chambers!);
    const skinLength = { mm: 0 };
    written = writeHollowed(outerScratch, chambers!, skinRow, rows, offsets, base, ends, written, skinLength);
    return {
      solid: { offsets, ends, base },
      chambers,
      skinLength: skinLength.mm,
      chamberLength: lengthOf(chambers!.ends, 0, 2 * runs),
    };
  };
  return { lattice, ...boundsInX(skin, lattice.dy), enter };
}

function cast(
  mesh: Mesh,
  lattice: Lattice,
  from: number,
  to: number,
  withFacets: boolean,
  interrupter: Interrupter,
): LayerCrossings {
  const expected = expectedCrossings(mesh, layerLoads(mesh, lattice), from, to);
  return castCrossings(mesh, lattice, from, to, expected, withFacets, interrupter);
}

function scratchFor(crossings: LayerCrossings, rows: number, withFacets: boolean): LayerScratch {
  let most = 0;
  for (let layer = crossings.from; layer < crossings.to; layer++) {
    most = Math.max(most, crossingsOfLayer(crossings, layer));
  }
  return {
    offsets: new Uint32Array(rows + 1),
    x: new Float32Array(most),
    jump: new Int8Array(most),
    facet: withFacets ? new Uint32Array(most) : null,
  };
}

const chamberRows = ({ x }: LayerScratch, rows: number): ChamberRows => ({
  offsets: new Uint32Array(rows + 1),
  ends: new Float32Array(x.length + 1),
  label: new Uint32Array((x.length >> 1) + 1),
  base: 0,
});

function gather(crossings: LayerCrossings, layer: number, rows: number, scratch: LayerScratch): void {
  const { offsets, x, jump, facet } = scratch;
  offsets[0] = 0;
  gatherLayer(crossings, layer, rows, offsets, 0, x, jump, facet);
  for (let row = 0; row < rows; row++) {
    if (offsets[row + 1]! - offsets[row]! > 1) sortRow(offsets[row]!, offsets[row + 1]!, x, jump, facet);
  }
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
  { offsets, ends, label }: ChamberRows,
): number {
  const { x, jump, facet } = scratch;
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
        written = combineRow(
          skinRow,
          0,
          skin,
          chambers.ends,
          chamber,
          lastChamber,
          FIRST_ONLY,
          ends,
          written,
        );
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

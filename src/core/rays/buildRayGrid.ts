import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { castBands, castNextBand, crossingsOfLayer, gatherLayer } from './castBands.ts';
import type { Lattice } from './lattice.ts';
import { expectedCrossings } from './layerLoads.ts';
import { layerSpans } from './layerSpans.ts';
import type { RayGrid } from './rayGrid.ts';
import { sortRow } from './sortCrossings.ts';

/**
 * All crossings of a mesh with the rays of a lattice, by the rules of `castBands`. Memory is 4 bytes
 * a row and 5 a crossing (9 with `facets`). For meshes from outside ask `checkGridLoad` first.
 */
export function buildRayGrid(
  mesh: Mesh,
  lattice: Lattice,
  interrupter: Interrupter,
  options: { readonly facets?: boolean } = {},
): RayGrid {
  const { rows, layers } = lattice;
  const offsets = new Uint32Array(rows * layers + 1);
  const spans = layerSpans(mesh, lattice, interrupter);
  const bands = castBands(mesh, lattice, spans, 0, layers, options.facets === true, interrupter);
  const expected = expectedCrossings(mesh, spans.loads, 0, layers);
  let x = new Float32Array(Math.ceil(1.1 * expected) + 1024);
  let jump = new Int8Array(x.length);
  let facet = options.facets ? new Uint32Array(x.length) : null;
  for (let layer = 0; layer < layers; layer++) {
    if (layer === bands.bandTo) castNextBand(bands, interrupter);
    const base = layer * rows;
    const needed = offsets[base]! + crossingsOfLayer(bands, layer);
    if (needed > x.length) {
      x = enlarged(x, Float32Array, 2 * needed);
      jump = enlarged(jump, Int8Array, 2 * needed);
      if (facet) facet = enlarged(facet, Uint32Array, 2 * needed);
    }
    gatherLayer(bands, layer, offsets, base, x, jump, facet);
    for (let row = base; row < base + rows; row++) sortRow(offsets[row]!, offsets[row + 1]!, x, jump, facet);
  }
  const total = offsets[rows * layers]!;
  const crossings = { lattice, offsets, x: x.subarray(0, total), jump: jump.subarray(0, total) };
  return facet ? { ...crossings, facet: facet.subarray(0, total) } : crossings;
}

function enlarged<T extends { set(values: T): void }>(
  values: T,
  Column: new (length: number) => T,
  length: number,
): T {
  const larger = new Column(length);
  larger.set(values);
  return larger;
}

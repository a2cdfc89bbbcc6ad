import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Lattice } from './lattice.ts';
import { type LayerSpans, SPAN_FACETS } from './layerSpans.ts';

const WORK_PER_CALL = 1 << 17;
/** Layers cast together: their crossings stay in the processor's cache until they are sorted. */
const BAND = 64;
const CHUNK_BITS = 8;
const CHUNK = 1 << CHUNK_BITS;

/**
 * A mesh being cast band by band, 64 layers at a time, over the layers from … to − 1. The crossings
 * of the present band are laid down layer by layer in no order: those of a layer fill a chain of
 * chunks of 256. `end[layer − bandFrom]` is where the layer's last chunk ends, 0 when it has none;
 * `previous` leads from a chunk to the one before it (chunk 0 is never used). `place` is 2·row, plus
 * 1 where the ray comes out. All of it is used again for the next band.
 */
export interface CastBands {
  readonly mesh: Mesh;
  readonly lattice: Lattice;
  readonly from: number;
  readonly to: number;
  /** Per corner, the first layer whose plane is not below it. */
  readonly cornerLayer: Uint32Array;
  /** Facets by the band of their first plane, as chains; facet + 1, 0 at the end. */
  readonly firstOfBand: Uint32Array;
  readonly nextInBand: Uint32Array;
  /** Facets of earlier bands that reach the next. */
  carried: Uint32Array;
  carriedCount: number;
  bandFrom: number;
  bandTo: number;
  readonly end: Uint32Array;
  nextChunk: number;
  previous: Uint32Array;
  place: Uint32Array;
  x: Float32Array;
  facet: Uint32Array | null;
}

/** Makes a mesh ready to be cast; `spans` are those of the mesh in the lattice. With `withFacets` each crossing names its facet. */
export function castBands(
  mesh: Mesh,
  lattice: Lattice,
  spans: LayerSpans,
  from: number,
  to: number,
  withFacets: boolean,
  interrupter: Interrupter,
): CastBands {
  interrupter(0.3);
  return {
    mesh,
    lattice,
    from,
    to,
    cornerLayer: spans.cornerLayer,
    ...facetsByBand(mesh.triangles, spans, from, to),
    carried: new Uint32Array(1024),
    carriedCount: 0,
    bandFrom: from,
    bandTo: from,
    end: new Uint32Array(BAND),
    nextChunk: CHUNK,
    previous: new Uint32Array(1024),
    place: new Uint32Array(1024 * CHUNK),
    x: new Float32Array(1024 * CHUNK),
    facet: withFacets ? new Uint32Array(1024 * CHUNK) : null,
  };
}

/** Chains facets that are cut by a plane of from … to − 1, each in the band of the first such plane. */
function facetsByBand(
  triangles: Uint32Array,
  { cornerLayer, blockLow, blockHigh }: LayerSpans,
  from: number,
  to: number,
): Pick<CastBands, 'firstOfBand' | 'nextInBand'> {
  const firstOfBand = new Uint32Array(Math.ceil((to - from) / BAND));
  const nextInBand = new Uint32Array(triangles.length / 3);
  for (let block = blockLow.length - 1; block >= 0; block--) {
    if (blockHigh[block]! <= from || blockLow[block]! >= to) continue;
    const first = SPAN_FACETS * block;
    for (let f = Math.min(nextInBand.length, first + SPAN_FACETS) - 1; f >= first; f--) {
      const a = cornerLayer[triangles[3 * f]!]!;
      const b = cornerLayer[triangles[3 * f + 1]!]!;
      const c = cornerLayer[triangles[3 * f + 2]!]!;
      const low = Math.max(from, Math.min(a, b, c));
      if (low >= Math.min(to, Math.max(a, b, c))) continue;
      const band = ((low - from) / BAND) | 0;
      nextInBand[f] = firstOfBand[band]!;
      firstOfBand[band] = f + 1;
    }
  }
  return { firstOfBand, nextInBand };
}

/** Casts the next band; its layers are then `bandFrom` … `bandTo` − 1. */
export function castNextBand(bands: CastBands, interrupter: Interrupter): void {
  const band = (bands.bandTo - bands.from) / BAND;
  bands.bandFrom = bands.bandTo;
  bands.bandTo = Math.min(bands.to, bands.bandFrom + BAND);
  bands.end.fill(0);
  bands.nextChunk = CHUNK;
  const { carried, carriedCount } = bands;
  bands.carriedCount = 0;
  for (let i = carriedCount - 1; i >= 0; i--) {
    bands.nextInBand[carried[i]!] = bands.firstOfBand[band]!;
    bands.firstOfBand[band] = carried[i]! + 1;
  }
  castFacets(bands, bands.firstOfBand[band]!, interrupter);
}

/**
 * Casts a chain of facets, in the mesh's own frame (mm).
 *
 * A facet is cut by the plane of each layer it spans; the cut's ends lie on facet edges and are
 * computed from the edge's lower to its upper corner, so the two facets of an edge get the same
 * bits. Rows are then given out half-open in y between those ends. Hence a closed, oriented mesh
 * has exactly balanced jumps on every row, however its corners fall on rows and planes. A corner in
 * a sampling plane counts as below it, and so does a facet that lies in one. Crossings outside the
 * lattice are left out.
 */
function castFacets(bands: CastBands, chain: number, interrupter: Interrupter): void {
  const { mesh, lattice, cornerLayer, nextInBand, bandFrom: from, bandTo: to, end } = bands;
  const { positions, triangles } = mesh;
  const { y0, dy, rows, z0, dz } = lattice;
  let { previous, place, x, facet, nextChunk } = bands;
  const perRow = 1 / dy;
  let work = 0;
  for (let link = chain; link !== 0; link = nextInBand[link - 1]!) {
    const f = link - 1;
    if (++work > WORK_PER_CALL) {
      work = 0;
      interrupter((from - bands.from) / (bands.to - bands.from));
    }
    let a = triangles[3 * f]!;
    let b = triangles[3 * f + 1]!;
    let c = triangles[3 * f + 2]!;
    let low = cornerLayer[a]!;
    let planeB = cornerLayer[b]!;
    let planeC = cornerLayer[c]!;

    // Turn the facet so that `a` is its lowest corner; its planes are those not below `a`.
    if (planeB < low || planeC < low) {
      if (planeB <= planeC) {
        const first = a;
        a = b;
        b = c;
        c = first;
      } else {
        const first = a;
        a = c;
        c = b;
        b = first;
      }
      low = cornerLayer[a]!;
      planeB = cornerLayer[b]!;
      planeC = cornerLayer[c]!;
    }
    const firstPlane = Math.max(low, from);
    const highest = Math.max(planeB, planeC);
    const planeEnd = Math.min(highest, to);
    if (highest > to) carry(bands, f);
    const ax = positions[3 * a]!;
    const ay = positions[3 * a + 1]!;
    const az = positions[3 * a + 2]!;
    const bx = positions[3 * b]!;
    const by = positions[3 * b + 1]!;
    const bz = positions[3 * b + 2]!;
    const cx = positions[3 * c]!;
    const cy = positions[3 * c + 1]!;
    const cz = positions[3 * c + 2]!;

    // Seen from outside the cut runs from the facet's descending edge (c→a or c→b) to its ascending
    // one (a→b or c→b turned): solid lies left of it, so it goes out where it runs toward +y.
    for (let k = firstPlane; k < planeEnd; k++) {
      const z = z0 + (k + 0.5) * dz;
      let startX: number;
      let startY: number;
      let endX: number;
      let endY: number;
      if (k < planeC) {
        const t = (z - az) / (cz - az);
        startX = ax + t * (cx - ax);
        startY = ay + t * (cy - ay);
      } else {
        const t = (z - cz) / (bz - cz);
        startX = cx + t * (bx - cx);
        startY = cy + t * (by - cy);
      }
      if (k < planeB) {
        const t = (z - az) / (bz - az);
        endX = ax + t * (bx - ax);
        endY = ay + t * (by - ay);
      } else {
        const t = (z - bz) / (cz - bz);
        endX = bx + t * (cx - bx);
        endY = by + t * (cy - by);
      }
      let first = Math.ceil((startY - y0) * perRow - 0.5);
      let last = Math.ceil((endY - y0) * perRow - 0.5);
      if (first === last) {
        work += 0.25;
        continue;
      }
      let out = 1;
      if (first > last) {
        const swap = first;
        first = last;
        last = swap;
        out = 0;
      }
      if (first < 0) first = 0;
      if (last > rows) last = rows;
      if (!(first < last)) continue;
      work += last - first;
      const slope = (endX - startX) / (endY - startY);
      const least = Math.min(startX, endX);
      const most = Math.max(startX, endX);
      let at = end[k - from]!;
      for (let row = first; row < last; row++) {
        if ((at & (CHUNK - 1)) === 0) {
          if (nextChunk === place.length) {
            enlarge(bands);
            ({ previous, place, x, facet } = bands);
          }
          previous[nextChunk >> CHUNK_BITS] = at === 0 ? 0 : (at - 1) >>> CHUNK_BITS;
          at = nextChunk;
          nextChunk += CHUNK;
        }
        const crossing = startX + (y0 + (row + 0.5) * dy - startY) * slope;
        // A row at the very end of a cut may be placed a rounding error beyond it.
        x[at] = crossing < least ? least : Math.min(crossing, most);
        place[at] = 2 * row + out;
        if (facet) facet[at] = f;
        at++;
      }
      end[k - from] = at;
    }
  }
  bands.nextChunk = nextChunk;
}

function carry(bands: CastBands, facet: number): void {
  if (bands.carriedCount === bands.carried.length) bands.carried = enlarged(bands.carried);
  bands.carried[bands.carriedCount++] = facet;
}

function enlarge(bands: CastBands): void {
  bands.previous = enlarged(bands.previous);
  bands.place = enlarged(bands.place);
  if (bands.facet) bands.facet = enlarged(bands.facet);
  const x = new Float32Array(2 * bands.x.length);
  x.set(bands.x);
  bands.x = x;
}

function enlarged(values: Uint32Array): Uint32Array {
  const larger = new Uint32Array(2 * values.length);
  larger.set(values);
  return larger;
}

/** How many crossings a layer of the band has. */
export function crossingsOfLayer({ bandFrom, end, previous }: CastBands, layer: number): number {
  const last = end[layer - bandFrom]!;
  if (last === 0) return 0;
  let chunk = (last - 1) >>> CHUNK_BITS;
  let count = last - (chunk << CHUNK_BITS);
  for (chunk = previous[chunk]!; chunk !== 0; chunk = previous[chunk]!) count += CHUNK;
  return count;
}

/**
 * Writes the crossings of a layer of the band row by row, unsorted within a row. `offsets[base]` says where they
 * begin in `x`, `jump` and `facet`; `offsets[base + 1 + row]` becomes where row `row` ends.
 */
export function gatherLayer(
  bands: CastBands,
  layer: number,
  offsets: Uint32Array,
  base: number,
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array | null,
): void {
  const { bandFrom, end, previous, place } = bands;
  const { rows } = bands.lattice;
  const start = base + 1;
  offsets.fill(0, start, start + rows);
  const layerEnd = end[layer - bandFrom]!;
  const lastChunk = layerEnd === 0 ? 0 : (layerEnd - 1) >>> CHUNK_BITS;
  for (let chunk = lastChunk, stop = layerEnd; chunk !== 0; chunk = previous[chunk]!) {
    for (let i = chunk << CHUNK_BITS; i < stop; i++) offsets[start + (place[i]! >>> 1)]!++;
    stop = (previous[chunk]! + 1) << CHUNK_BITS;
  }
  let at = offsets[base]!;
  for (let row = start; row < start + rows; row++) {
    const count = offsets[row]!;
    offsets[row] = at;
    at += count;
  }
  for (let chunk = lastChunk, stop = layerEnd; chunk !== 0; chunk = previous[chunk]!) {
    for (let i = chunk << CHUNK_BITS; i < stop; i++) {
      const where = place[i]!;
      const to = offsets[start + (where >>> 1)]!++;
      x[to] = bands.x[i]!;
      jump[to] = 1 - 2 * (where & 1);
      if (facet) facet[to] = bands.facet![i]!;
    }
    stop = (previous[chunk]! + 1) << CHUNK_BITS;
  }
}

import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Lattice } from './lattice.ts';
import { sampleIndex } from './sampleIndex.ts';

const WORK_PER_CALL = 1 << 17;
const CHUNK_BITS = 8;
const CHUNK = 1 << CHUNK_BITS;

/**
 * Crossings of a mesh with the rays of the layers from … to − 1, laid down layer by layer in no
 * order: those of a layer fill a chain of chunks of 256. `end[layer − from]` is where the layer's
 * last chunk ends, 0 when it has none; `previous` leads from a chunk to the one before it (chunk 0
 * is never used). `place` is 2·row, plus 1 where the ray comes out.
 */
export interface LayerCrossings {
  readonly from: number;
  readonly to: number;
  readonly count: number;
  readonly end: Uint32Array;
  readonly previous: Uint32Array;
  readonly place: Uint32Array;
  readonly x: Float32Array;
  readonly facet: Uint32Array | null;
}

/**
 * Casts the rays of some layers in one pass over the facets, in the mesh's own frame (mm).
 *
 * A facet is cut by the plane of each layer it spans; the cut's ends lie on facet edges and are
 * computed from the edge's lower to its upper corner, so the two facets of an edge get the same
 * bits. Rows are then given out half-open in y between those ends. Hence a closed, oriented mesh
 * has exactly balanced jumps on every row, however its corners fall on rows and planes. A corner in
 * a sampling plane counts as below it, and so does a facet that lies in one. Crossings outside the
 * lattice are left out.
 *
 * `expected` crossings are made room for; more are taken by doubling.
 */
export function castCrossings(
  mesh: Mesh,
  lattice: Lattice,
  from: number,
  to: number,
  expected: number,
  withFacets: boolean,
  interrupter: Interrupter,
): LayerCrossings {
  const { positions, triangles } = mesh;
  const { y0, dy, rows, z0, dz } = lattice;
  const cornerLayer = layerOfCorners(positions, lattice, interrupter);
  const end = new Uint32Array(Math.max(0, to - from));
  const halfUsed = (end.length * CHUNK) / 2;
  let capacity = (Math.ceil((1.05 * expected + halfUsed) / CHUNK) + 64) * CHUNK;
  let previous = new Uint32Array(capacity >> CHUNK_BITS);
  let place = new Uint32Array(capacity);
  let x = new Float32Array(capacity);
  let facet = withFacets ? new Uint32Array(capacity) : null;
  let nextChunk = CHUNK;
  let count = 0;
  const perRow = 1 / dy;
  const facets = triangles.length / 3;
  let work = 0;
  for (let f = 0; f < facets; f++) {
    if (++work > WORK_PER_CALL) {
      work = 0;
      interrupter(0.1 + (0.9 * f) / facets);
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
    if (firstPlane >= planeEnd) continue;
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
      count += last - first;
      const slope = (endX - startX) / (endY - startY);
      const least = Math.min(startX, endX);
      const most = Math.max(startX, endX);
      let at = end[k - from]!;
      for (let row = first; row < last; row++) {
        if ((at & (CHUNK - 1)) === 0) {
          if (nextChunk === capacity) {
            capacity *= 2;
            previous = enlarged(previous, capacity >> CHUNK_BITS);
            place = enlarged(place, capacity);
            if (facet) facet = enlarged(facet, capacity);
            const larger = new Float32Array(capacity);
            larger.set(x);
            x = larger;
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
  return { from, to, count, end, previous, place, x, facet };
}

/** Per corner, the first layer whose plane is not below it. */
function layerOfCorners(
  positions: Float32Array,
  { z0, dz, layers }: Lattice,
  interrupter: Interrupter,
): Uint32Array {
  const corners = positions.length / 3;
  const result = new Uint32Array(corners);
  for (let v = 0; v < corners; v++) {
    if ((v & 0x3ffff) === 0) interrupter((0.1 * v) / corners);
    result[v] = sampleIndex(positions[3 * v + 2]!, z0, dz, layers);
  }
  return result;
}

function enlarged(values: Uint32Array<ArrayBuffer>, length: number): Uint32Array<ArrayBuffer> {
  const larger = new Uint32Array(length);
  larger.set(values);
  return larger;
}

/** How many crossings a layer of the range has. */
export function crossingsOfLayer({ from, end, previous }: LayerCrossings, layer: number): number {
  const last = end[layer - from]!;
  if (last === 0) return 0;
  let chunk = (last - 1) >>> CHUNK_BITS;
  let count = last - (chunk << CHUNK_BITS);
  for (chunk = previous[chunk]!; chunk !== 0; chunk = previous[chunk]!) count += CHUNK;
  return count;
}

/**
 * Writes a layer's crossings row by row, unsorted within a row. `offsets[base]` says where they
 * begin in `x`, `jump` and `facet`; `offsets[base + 1 + row]` becomes where row `row` ends.
 */
export function gatherLayer(
  crossings: LayerCrossings,
  layer: number,
  rows: number,
  offsets: Uint32Array,
  base: number,
  x: Float32Array,
  jump: Int8Array,
  facet: Uint32Array | null,
): void {
  const { from, end, previous, place } = crossings;
  const start = base + 1;
  offsets.fill(0, start, start + rows);
  const layerEnd = end[layer - from]!;
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
      x[to] = crossings.x[i]!;
      jump[to] = 1 - 2 * (where & 1);
      if (facet) facet[to] = crossings.facet![i]!;
    }
    stop = (previous[chunk]! + 1) << CHUNK_BITS;
  }
}

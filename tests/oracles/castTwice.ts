import type { Interrupter } from '../../src/core/interrupter.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import type { Lattice } from '../../src/core/rays/lattice.ts';
import type { RayGrid } from '../../src/core/rays/rayGrid.ts';
import { sampleIndex } from '../../src/core/rays/sampleIndex.ts';
import { sortCrossings } from '../../src/core/rays/sortCrossings.ts';

const WORK_PER_CALL = 1 << 17;

/**
 * Slower twin of `buildRayGrid`, counting before it fills: all crossings of a mesh with the rays of a lattice, in the mesh's own frame (mm).
 *
 * A facet is cut by the plane of each layer it spans; the cut's ends lie on facet edges and are
 * computed from the edge's lower to its upper corner, so the two facets of an edge get the same
 * bits. Rows are then given out half-open in y between those ends. Hence a closed, oriented mesh
 * has exactly balanced jumps on every row, however its corners fall on rows and planes. A corner in
 * a sampling plane counts as below it, and so does a facet that lies in one.
 *
 * Crossings outside the lattice are left out. Facets are counted in one pass and filled in a
 * second; memory is 4 bytes a row and 5 a crossing (9 with `facets`). For meshes from outside ask
 * `checkGridLoad` first.
 */
export function castTwice(
  mesh: Mesh,
  lattice: Lattice,
  interrupter: Interrupter,
  options: { readonly facets?: boolean } = {},
): RayGrid {
  const cornerLayer = layerOfCorners(mesh.positions, lattice);
  const offsets = new Uint32Array(lattice.rows * lattice.layers + 1);
  walkFacets(mesh, lattice, cornerLayer, offsets, null, null, null, interrupter, 0, 0.35);
  let total = 0;
  for (let row = 0; row < offsets.length; row++) {
    const count = offsets[row]!;
    offsets[row] = total;
    total += count;
  }
  const x = new Float32Array(total);
  const jump = new Int8Array(total);
  const facet = options.facets ? new Uint32Array(total) : null;
  walkFacets(mesh, lattice, cornerLayer, offsets, x, jump, facet, interrupter, 0.35, 0.85);
  // Filling moved each offset to its row's end, which is the next row's start.
  offsets.copyWithin(1, 0, offsets.length - 1);
  offsets[0] = 0;
  sortCrossings(offsets, x, jump, facet, interrupter, 0.85, 1);
  return facet ? { lattice, offsets, x, jump, facet } : { lattice, offsets, x, jump };
}

/** Per corner, the first layer whose plane is not below it. */
function layerOfCorners(positions: Float32Array, { z0, dz, layers }: Lattice): Uint32Array {
  const corners = positions.length / 3;
  const result = new Uint32Array(corners);
  for (let v = 0; v < corners; v++) result[v] = sampleIndex(positions[3 * v + 2]!, z0, dz, layers);
  return result;
}

/**
 * One pass over the facets. With `x` null each crossing adds one to its row's entry of `cursor`;
 * otherwise the entry is where the row's next crossing is written, and moves on.
 */
function walkFacets(
  mesh: Mesh,
  lattice: Lattice,
  cornerLayer: Uint32Array,
  cursor: Uint32Array,
  x: Float32Array | null,
  jump: Int8Array | null,
  facet: Uint32Array | null,
  interrupter: Interrupter,
  from: number,
  to: number,
): void {
  const { positions, triangles } = mesh;
  const { y0, dy, rows, z0, dz } = lattice;
  const perRow = 1 / dy;
  const facets = triangles.length / 3;
  let work = 0;
  for (let f = 0; f < facets; f++) {
    if (++work > WORK_PER_CALL) {
      work = 0;
      interrupter(from + ((to - from) * f) / facets);
    }
    let a = triangles[3 * f]!;
    let b = triangles[3 * f + 1]!;
    let c = triangles[3 * f + 2]!;
    const layerA = cornerLayer[a]!;
    const layerB = cornerLayer[b]!;
    const layerC = cornerLayer[c]!;
    if (layerA === layerB && layerB === layerC) continue;

    // Turn the facet so that `a` is its lowest corner; its planes are those not below `a`.
    if (layerB < layerA || layerC < layerA) {
      if (layerB <= layerC) {
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
    }
    const low = cornerLayer[a]!;
    const planeB = cornerLayer[b]!;
    const planeC = cornerLayer[c]!;
    const ax = positions[3 * a]!;
    const ay = positions[3 * a + 1]!;
    const az = positions[3 * a + 2]!;
    const bx = positions[3 * b]!;
    const by = positions[3 * b + 1]!;
    const bz = positions[3 * b + 2]!;
    const cx = positions[3 * c]!;
    const cy = positions[3 * c + 1]!;
    const cz = positions[3 * c + 2]!;
    const high = Math.max(planeB, planeC);

    // Seen from outside the cut runs from the facet's descending edge (c→a or c→b) to its ascending
    // one (a→b or c→b turned): solid lies left of it, so it goes out where it runs toward +y.
    for (let k = low; k < high; k++) {
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
      const sign = first < last ? 1 : -1;
      if (sign < 0) {
        const swap = first;
        first = last;
        last = swap;
      }
      if (first < 0) first = 0;
      if (last > rows) last = rows;
      if (first >= last) continue;
      work += last - first;
      const base = k * rows;
      if (x === null) {
        for (let row = first; row < last; row++) cursor[base + row]!++;
        continue;
      }
      const slope = (endX - startX) / (endY - startY);
      const least = Math.min(startX, endX);
      const most = Math.max(startX, endX);
      for (let row = first; row < last; row++) {
        const at = cursor[base + row]!++;
        const crossing = startX + (y0 + (row + 0.5) * dy - startY) * slope;
        // A row at the very end of a cut may be placed a rounding error beyond it.
        x[at] = Math.max(least, Math.min(crossing, most));
        jump![at] = -sign;
        if (facet) facet[at] = f;
      }
    }
  }
}

import type { Mesh } from '../core/mesh/mesh.ts';
import type { Box, Vec3 } from '../core/vector.ts';
import type { Field } from './field.ts';

const blockCells = 8;
const blockNodes = blockCells + 1;
/** How much faster than true distance a field may grow: sideways on a slope of 30°, twice. */
const steepness = 2;

/** Corner offsets of the six tetrahedra of a cell, all along its main diagonal (Freudenthal). */
const axisOrders = [
  [0, 1, 2],
  [1, 2, 0],
  [2, 0, 1],
  [0, 2, 1],
  [2, 1, 0],
  [1, 0, 2],
] as const;

/** Facets of a positively oriented tetrahedron by which corners are inside: pairs of corners. */
const facetTable = buildFacetTable();
const tetrahedra = axisOrders.map(tetrahedronCorners);

/**
 * Surface of a field where it is zero, as a closed, outward-oriented mesh in the field's frame.
 * Marching tetrahedra on a lattice of `cell` spacing: the subdivision is the same in every cell, so
 * neighbours meet in equal edges and the result is a closed 2-manifold whatever the field does, as
 * long as `box` holds the whole solid. Blocks that the surface cannot reach are not visited: the
 * field must grow at most twice as fast as true distance, but for detail that adds up to `slack`.
 * Vertices are drawn onto the surface along the field's gradient.
 */
export function polygonise(field: Field, box: Box, cell: number, slack: number): Mesh {
  const lattice = latticeOf(box, cell);
  const builder: Builder = { positions: [], triangles: [], vertexOfEdge: new Map() };
  const values = new Float64Array(blockNodes ** 3);
  const [bx, by, bz] = lattice.blocks;
  for (let k = 0; k < bz; k++) {
    for (let j = 0; j < by; j++) {
      for (let i = 0; i < bx; i++) {
        if (!mayCross(field, lattice, i, j, k, slack)) continue;
        sampleBlock(field, lattice, i, j, k, values);
        marchBlock(lattice, i, j, k, values, builder);
      }
    }
  }
  const positions = Float64Array.from(builder.positions);
  drawOnto(field, positions, cell);
  return { positions: Float32Array.from(positions), triangles: Uint32Array.from(builder.triangles) };
}

interface Lattice {
  readonly origin: Vec3;
  readonly cell: number;
  readonly blocks: readonly [number, number, number];
  /** Node strides of the whole lattice along y and z. */
  readonly strideY: number;
  readonly strideZ: number;
}

interface Builder {
  readonly positions: number[];
  readonly triangles: number[];
  readonly vertexOfEdge: Map<number, number>;
}

function latticeOf(box: Box, cell: number): Lattice {
  const count = (axis: 0 | 1 | 2): number =>
    Math.ceil((box.max[axis] - box.min[axis]) / (cell * blockCells)) + 1;
  const blocks = [count(0), count(1), count(2)] as const;
  const strideY = blocks[0] * blockCells + 1;
  // A third of a cell off the round numbers, so that sculpted planes do not fall on lattice nodes.
  const shift = cell * (blockCells / 2 + 1 / 3);
  const origin: Vec3 = [box.min[0] - shift, box.min[1] - shift, box.min[2] - shift];
  return { origin, cell, blocks, strideY, strideZ: strideY * (blocks[1] * blockCells + 1) };
}

function mayCross(field: Field, lattice: Lattice, i: number, j: number, k: number, slack: number): boolean {
  const { origin, cell } = lattice;
  const half = (blockCells * cell) / 2;
  const step = blockCells * cell;
  const d = field(origin[0] + i * step + half, origin[1] + j * step + half, origin[2] + k * step + half);
  const reach = half * 1.7320508 * steepness;
  return Math.abs(d) <= reach + Math.min(reach, slack);
}

function sampleBlock(
  field: Field,
  lattice: Lattice,
  i: number,
  j: number,
  k: number,
  values: Float64Array,
): void {
  const { origin, cell } = lattice;
  let at = 0;
  for (let c = 0; c < blockNodes; c++) {
    const z = origin[2] + (k * blockCells + c) * cell;
    for (let b = 0; b < blockNodes; b++) {
      const y = origin[1] + (j * blockCells + b) * cell;
      for (let a = 0; a < blockNodes; a++) {
        values[at++] = field(origin[0] + (i * blockCells + a) * cell, y, z);
      }
    }
  }
}

function marchBlock(
  lattice: Lattice,
  i: number,
  j: number,
  k: number,
  values: Float64Array,
  builder: Builder,
): void {
  for (let c = 0; c < blockCells; c++) {
    for (let b = 0; b < blockCells; b++) {
      for (let a = 0; a < blockCells; a++) {
        const at = a + blockNodes * (b + blockNodes * c);
        if (!cellCrosses(values, at)) continue;
        marchCell(lattice, i * blockCells + a, j * blockCells + b, k * blockCells + c, values, at, builder);
      }
    }
  }
}

function cellCrosses(values: Float64Array, at: number): boolean {
  const inside = values[at]! < 0;
  for (let corner = 1; corner < 8; corner++) {
    if (values[at + localOffset(corner)]! < 0 !== inside) return true;
  }
  return false;
}

function localOffset(corner: number): number {
  return (corner & 1) + blockNodes * ((corner >> 1) & 1) + blockNodes * blockNodes * (corner >> 2);
}

function marchCell(
  lattice: Lattice,
  x: number,
  y: number,
  z: number,
  values: Float64Array,
  at: number,
  builder: Builder,
): void {
  for (const corners of tetrahedra) {
    let mask = 0;
    for (let n = 0; n < 4; n++) if (values[at + localOffset(corners[n]!)]! < 0) mask |= 1 << n;
    const facets = facetTable[mask]!;
    for (let f = 0; f < facets.length; f += 2) {
      const from = corners[facets[f]!]!;
      const to = corners[facets[f + 1]!]!;
      builder.triangles.push(vertexOn(lattice, x, y, z, from, to, values, at, builder));
    }
  }
}

/** The vertex on a lattice edge; corners of a Freudenthal edge are subsets of one another. */
function vertexOn(
  lattice: Lattice,
  x: number,
  y: number,
  z: number,
  p: number,
  q: number,
  values: Float64Array,
  at: number,
  builder: Builder,
): number {
  const low = Math.min(p, q);
  const high = Math.max(p, q);
  const nx = x + (low & 1);
  const ny = y + ((low >> 1) & 1);
  const nz = z + (low >> 2);
  const direction = high ^ low;
  const key = (nx + ny * lattice.strideY + nz * lattice.strideZ) * 8 + direction;
  const known = builder.vertexOfEdge.get(key);
  if (known !== undefined) return known;
  const v0 = values[at + localOffset(low)]!;
  const v1 = values[at + localOffset(high)]!;
  // Kept off the nodes, so that no two vertices of a facet coincide.
  const t = Math.min(0.97, Math.max(0.03, v0 / (v0 - v1)));
  const { origin, cell } = lattice;
  const vertex = builder.positions.length / 3;
  builder.positions.push(
    origin[0] + (nx + (direction & 1) * t) * cell,
    origin[1] + (ny + ((direction >> 1) & 1) * t) * cell,
    origin[2] + (nz + (direction >> 2) * t) * cell,
  );
  builder.vertexOfEdge.set(key, vertex);
  return vertex;
}

/** Two damped Newton steps along the gradient, none longer than a quarter cell. */
function drawOnto(field: Field, positions: Float64Array, cell: number): void {
  const e = cell * 0.02;
  for (let n = 0; n < positions.length; n += 3) {
    for (let step = 0; step < 2; step++) {
      const x = positions[n]!;
      const y = positions[n + 1]!;
      const z = positions[n + 2]!;
      const d = field(x, y, z);
      const gx = (field(x + e, y, z) - field(x - e, y, z)) / (2 * e);
      const gy = (field(x, y + e, z) - field(x, y - e, z)) / (2 * e);
      const gz = (field(x, y, z + e) - field(x, y, z - e)) / (2 * e);
      const square = gx * gx + gy * gy + gz * gz;
      if (square < 0.05) break;
      const reach = Math.min(1, (0.25 * cell * Math.sqrt(square)) / Math.max(Math.abs(d), 1e-12));
      const s = (d / square) * reach;
      positions[n] = x - gx * s;
      positions[n + 1] = y - gy * s;
      positions[n + 2] = z - gz * s;
    }
  }
}

/** Corners of one tetrahedron, ordered so that its volume is positive. */
function tetrahedronCorners(order: readonly [number, number, number]): readonly number[] {
  const first = 1 << order[0];
  const second = first | (1 << order[1]);
  const even = (order[1] - order[0] + 3) % 3 === 1;
  return even ? [0, first, second, 7] : [0, second, first, 7];
}

function buildFacetTable(): readonly (readonly number[])[] {
  const evenOrders = [
    [0, 1, 2, 3],
    [1, 0, 3, 2],
    [2, 3, 0, 1],
    [3, 2, 1, 0],
  ] as const;
  const table: number[][] = Array.from({ length: 16 }, () => []);
  for (const [a, b, c, d] of evenOrders) {
    table[1 << a] = [a, b, a, c, a, d];
    table[15 ^ (1 << a)] = [a, b, a, d, a, c];
  }
  const evenPairs = [
    [0, 1, 2, 3],
    [0, 2, 3, 1],
    [0, 3, 1, 2],
    [2, 3, 0, 1],
    [3, 1, 0, 2],
    [1, 2, 0, 3],
  ] as const;
  for (const [a, b, c, d] of evenPairs) {
    table[(1 << a) | (1 << b)] = [a, c, a, d, b, d, a, c, b, d, b, c];
  }
  return table;
}

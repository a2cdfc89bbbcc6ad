import type { Mesh } from './mesh.ts';

const headerBytes = 84;
const facetBytes = 50;

/**
 * Binary STL of a mesh: zero header, unit normals computed from the corners (zero for a facet
 * without area), zero attributes, so the same mesh always gives the same bytes.
 */
export function writeBinaryStl(mesh: Mesh): Uint8Array<ArrayBuffer> {
  const facets = mesh.triangles.length / 3;
  const bytes = new Uint8Array(headerBytes + facetBytes * facets);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, facets, true);
  writeFacets(mesh, 0, facets, view, headerBytes);
  return bytes;
}

const facetsPerPiece = 1 << 16;

/** The same bytes piece by piece, so that they never stand in memory all at once; each piece holds until the next is asked for. */
export function* binaryStlPieces(mesh: Mesh): Generator<Uint8Array> {
  yield* joinedStlPieces(mesh.triangles.length / 3, [mesh]);
}

/** The same of several meshes as one, asked for one after the other; `facets` counts those of all. */
export function* joinedStlPieces(facets: number, meshes: Iterable<Mesh>): Generator<Uint8Array> {
  const header = new DataView(new ArrayBuffer(headerBytes));
  header.setUint32(80, facets, true);
  yield new Uint8Array(header.buffer);
  for (const mesh of meshes) yield* facetPieces(mesh);
}

function* facetPieces(mesh: Mesh): Generator<Uint8Array> {
  const facets = mesh.triangles.length / 3;
  const view = new DataView(new ArrayBuffer(facetBytes * Math.min(facets, facetsPerPiece)));
  for (let first = 0; first < facets; first += facetsPerPiece) {
    const end = Math.min(facets, first + facetsPerPiece);
    writeFacets(mesh, first, end, view, 0);
    yield new Uint8Array(view.buffer, 0, facetBytes * (end - first));
  }
}

function writeFacets(
  { positions, triangles }: Mesh,
  first: number,
  end: number,
  view: DataView,
  start: number,
): void {
  for (let facet = first, at = start; facet < end; facet++, at += facetBytes) {
    const a = triangles[3 * facet]! * 3;
    const b = triangles[3 * facet + 1]! * 3;
    const c = triangles[3 * facet + 2]! * 3;
    for (let axis = 0; axis < 3; axis++) {
      view.setFloat32(at + 12 + 4 * axis, positions[a + axis]!, true);
      view.setFloat32(at + 24 + 4 * axis, positions[b + axis]!, true);
      view.setFloat32(at + 36 + 4 * axis, positions[c + axis]!, true);
    }
    writeNormal(view, at, positions, a, b, c);
  }
}

function writeNormal(view: DataView, at: number, p: Float32Array, a: number, b: number, c: number): void {
  const ux = p[b]! - p[a]!;
  const uy = p[b + 1]! - p[a + 1]!;
  const uz = p[b + 2]! - p[a + 2]!;
  const vx = p[c]! - p[a]!;
  const vy = p[c + 1]! - p[a + 1]!;
  const vz = p[c + 2]! - p[a + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
  // Also where there is none: the memory may hold another facet's.
  const none = length === 0;
  view.setFloat32(at, none ? 0 : nx / length, true);
  view.setFloat32(at + 4, none ? 0 : ny / length, true);
  view.setFloat32(at + 8, none ? 0 : nz / length, true);
}

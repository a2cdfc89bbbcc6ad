import type { Mesh } from './mesh.ts';

const headerBytes = 84;
const facetBytes = 50;

/**
 * Binary STL of a mesh: zero header, unit normals computed from the corners (zero for a facet
 * without area), zero attributes, so the same mesh always gives the same bytes.
 */
export function writeBinaryStl(mesh: Mesh): Uint8Array<ArrayBuffer> {
  const { positions, triangles } = mesh;
  const facets = triangles.length / 3;
  const bytes = new Uint8Array(headerBytes + facetBytes * facets);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, facets, true);
  for (let facet = 0; facet < facets; facet++) {
    const at = headerBytes + facetBytes * facet;
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
  return bytes;
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
  if (length === 0) return;
  view.setFloat32(at, nx / length, true);
  view.setFloat32(at + 4, ny / length, true);
  view.setFloat32(at + 8, nz / length, true);
}

import type { Mesh } from '../core/mesh/mesh.ts';
import { hashed } from './noise.ts';

/** The whole mesh with every facet turned: a file whose solid lies outside. */
export function insideOut(mesh: Mesh): Mesh {
  const triangles = Uint32Array.from(mesh.triangles);
  for (let at = 0; at < triangles.length; at += 3) {
    triangles[at + 1] = mesh.triangles[at + 2]!;
    triangles[at + 2] = mesh.triangles[at + 1]!;
  }
  return { positions: mesh.positions, triangles };
}

/** Leaves out the given number of single facets, spread evenly: small holes that can be mended. */
export function pinholes(mesh: Mesh, holes: number): Mesh {
  const facets = mesh.triangles.length / 3;
  const gone = new Set(Array.from({ length: holes }, (_, n) => Math.floor(((n + 0.5) * facets) / holes)));
  return without(mesh, (facet) => gone.has(facet));
}

/**
 * A scan that failed: beyond the plane x = `beyond` about half the facets are missing, here and there,
 * so that what is left hangs together by corners. Nobody can say where the surface was.
 */
export function torn(mesh: Mesh, beyond: number): Mesh {
  const { positions, triangles } = mesh;
  return without(mesh, (facet) => {
    const x = positions[triangles[3 * facet]! * 3]!;
    return x > beyond && hashed(17, facet, 0, 0) < 0.55;
  });
}

function without(mesh: Mesh, gone: (facet: number) => boolean): Mesh {
  const kept: number[] = [];
  for (let facet = 0; facet < mesh.triangles.length / 3; facet++) {
    if (gone(facet)) continue;
    for (let n = 0; n < 3; n++) kept.push(mesh.triangles[3 * facet + n]!);
  }
  return { positions: mesh.positions, triangles: Uint32Array.from(kept) };
}

import type { Mesh } from '../core/mesh/mesh.ts';
import { type BorderEdges, borderEdges } from './borderEdges.ts';
import { borderLoops } from './borderLoops.ts';
import type { Cap } from './capLoop.ts';

/** Facets cut out of a mesh, closed to a solid of their own. */
export interface ClosedPatch {
  /** The facets in their order, then the caps. The mesh's own vertices come first. */
  readonly mesh: Mesh;
  /** Number of facets that are the mesh's own. */
  readonly own: number;
  /** Vertex of the whole mesh by vertex of the patch. */
  readonly vertexOf: Uint32Array;
  /** Of the own facets, by vertex of the patch. */
  readonly border: BorderEdges;
}

/** In what way a neighbourhood is not clean, in words that go on from "…, because". */
export interface Unclean {
  readonly unclean: string;
}

/**
 * Closes the facets with a cap for every loop of their border. Where no cap comes, the solid's winding
 * number is that of the whole mesh up to a constant. `capOf`: a cap for a loop as `capLoop` makes it,
 * null where there is none. `vertexScratch`: one entry a vertex, −1 before and after.
 */
export function closedPatch(
  whole: Mesh,
  facets: Uint32Array,
  capOf: (loop: Float32Array) => Cap | null,
  vertexScratch: Int32Array,
): ClosedPatch | Unclean {
  const { positions, triangles, vertexOf } = cutOut(whole, facets, vertexScratch);
  const border = borderEdges(triangles, vertexOf.length);
  const loops = border && borderLoops(border);
  if (!loops) return { unclean: 'the surface there touches itself' };
  const caps: Cap[] = [];
  for (const loop of loops) {
    const corners = new Float32Array(3 * loop.length);
    for (const [n, vertex] of loop.entries()) {
      corners.set(positions.subarray(3 * vertex, 3 * vertex + 3), 3 * n);
    }
    const cap = capOf(corners);
    if (cap === null) return { unclean: 'the surface there winds about the opening' };
    caps.push(cap);
  }
  return { mesh: withCaps({ positions, triangles }, loops, caps), own: facets.length, vertexOf, border };
}

function cutOut(whole: Mesh, facets: Uint32Array, number: Int32Array): Mesh & { vertexOf: Uint32Array } {
  const triangles = new Uint32Array(3 * facets.length);
  const used: number[] = [];
  for (let at = 0; at < triangles.length; at++) {
    const vertex = whole.triangles[3 * facets[Math.floor(at / 3)]! + (at % 3)]!;
    if (number[vertex]! < 0) number[vertex] = used.push(vertex) - 1;
    triangles[at] = number[vertex]!;
  }
  const positions = new Float32Array(3 * used.length);
  used.forEach((vertex, n) => {
    for (let axis = 0; axis < 3; axis++) positions[3 * n + axis] = whole.positions[3 * vertex + axis]!;
    number[vertex] = -1;
  });
  return { positions, triangles, vertexOf: Uint32Array.from(used) };
}

function withCaps({ positions, triangles }: Mesh, loops: readonly number[][], caps: readonly Cap[]): Mesh {
  const added = (count: (loop: number) => number) => loops.reduce((sum, _, n) => sum + count(n), 0);
  const allPositions = new Float32Array(
    positions.length + added((n) => caps[n]!.positions.length - 3 * loops[n]!.length),
  );
  const allTriangles = new Uint32Array(triangles.length + added((n) => caps[n]!.triangles.length));
  allPositions.set(positions);
  allTriangles.set(triangles);
  let p = positions.length;
  let t = triangles.length;
  loops.forEach((loop, n) => {
    const cap = caps[n]!;
    const far = cap.positions.subarray(3 * loop.length);
    const shift = p / 3 - loop.length;
    allPositions.set(far, p);
    for (const corner of cap.triangles) {
      allTriangles[t++] = corner < loop.length ? loop[corner]! : corner + shift;
    }
    p += far.length;
  });
  return { positions: allPositions, triangles: allTriangles };
}

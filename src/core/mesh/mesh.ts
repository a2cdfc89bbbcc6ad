/**
 * An indexed triangle mesh. `positions` holds x,y,z per vertex (3·V), `triangles` three vertex
 * indices per facet (3·F), counter-clockwise seen from outside. The frame and the unit are named
 * by whoever holds it. Treat both arrays as frozen: stages share them.
 */
export interface Mesh {
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
}

/** Loose facets as an STL gives them: nine floats a triangle, nothing shared. */
export type TriangleSoup = Float32Array;

import type { Box } from '../vector.ts';

/** Counts of a welded mesh as it came, before any repair. */
export interface TopologyReport {
  readonly triangles: number;
  readonly vertices: number;
  readonly shells: number;
  /** Every edge is used by exactly two triangles, once in each direction. */
  readonly watertight: boolean;
  /** Edges used once. */
  readonly openEdges: number;
  /** Edges used more than twice. */
  readonly nonmanifoldEdges: number;
  /** Edges used twice in the same direction. */
  readonly misorientedEdges: number;
  /** Triangles with two equal corners or no area. */
  readonly degenerate: number;
  /** Triangles that repeat another's three corners. */
  readonly duplicates: number;
  /** Six times nothing hidden: Σ v1·(v2×v3)/6 of the mesh as oriented; negative = inside out. */
  readonly signedVolume: number;
  readonly area: number;
  readonly bounds: Box;
  readonly centroid: readonly [number, number, number];
}

/** What one shell (facets connected across edges) is to the others. */
export interface ShellFacts {
  readonly triangles: number;
  /** Signed, in the frame's unit cubed, after repair. */
  readonly volume: number;
  readonly bounds: Box;
  /**
   * body: outward, the part or a piece of it; void: inward inside a body, a hollow the sculptor
   * made; doubled: outward within another body, winding 2; inverted: inward with nothing around it.
   */
  readonly kind: 'body' | 'void' | 'doubled' | 'inverted';
  /** True when it crosses the surface of another shell. */
  readonly overlaps: boolean;
  /** Group of shells that touch, overlap or enclose each other; more than one group = loose shells. */
  readonly group: number;
}

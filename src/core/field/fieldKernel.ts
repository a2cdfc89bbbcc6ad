import type { Mesh } from '../mesh/mesh.ts';
import type { RayGrid } from '../rays/rayGrid.ts';
import type { DepthProbe } from './depthProbe.ts';
import type { FieldLattice } from './fieldLattice.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/** What a kernel measures depths from. */
export interface FieldSurface {
  readonly mesh: Mesh;
  readonly lattice: FieldLattice;
  readonly level: number;
  /** Only what reaches into these heights matters, mm. */
  readonly low: number;
  readonly high: number;
  /** Rays through the rows of nodes, from the first node of the layer of bricks `gridFrom` on. */
  readonly grid: RayGrid;
  readonly gridFrom: number;
  readonly samples: SurfaceSamples;
  /** Nodes whose closest sample is as far as the level, give or take this, are measured from the surface itself, mm. */
  readonly bandMm: number;
  /** No sample further from a node than this is looked at, mm. */
  readonly reachMm: number;
  /** A node with a sample nearer than this is shallow beyond doubt, mm. */
  readonly settledMm: number;
}

/** All of a brick's nodes are shallow, all are deep, or some may lie within a spacing of the level. */
export const brickSide = { shallow: 0, deep: 1, passes: 2 } as const;
export type BrickSide = (typeof brickSide)[keyof typeof brickSide];

/** Depth of a node that is shallow beyond doubt: no more is asked of it. */
export const SHALLOW = -1;

/** A kernel at work on one surface. */
export interface BrickMeasurer {
  readonly probe: DepthProbe;
  /** By node of the brick measured last, when it passes: depths and closest facets as `DepthField` has them. */
  readonly depth: Float32Array;
  readonly facet: Int32Array;
  measureBrick(brick: number): BrickSide;
  /** Gives back what it holds; the measurer and its probe are spent. */
  close(): void;
}

/**
 * Measures the nodes of bricks: the hot part of a hollow, apart so that it can be machine code. All
 * kernels give the same bits (`typescriptKernel` tells which).
 */
export type FieldKernel = (surface: FieldSurface) => BrickMeasurer;

import type { Vec3 } from '../vector.ts';

/** What is told of a drawn mesh before its arrays: mm, in the frame of the surface it stands for. */
export interface SurfaceHead {
  /** Position of a vertex: origin + step · (x, y, z). The step is the same along every axis. */
  readonly origin: Vec3;
  readonly step: number;
  /**
   * How far this mesh is from the surface it stands for: a bound for a clustered one, measured for a
   * simplified one (`greatestDistance`). Rounding to steps comes on top: √3/2 of a step at most.
   */
  readonly errorMm: number;
  readonly vertexCount: number;
  readonly triangleCount: number;
}

/** A mesh as the graphics card takes it: 8 bytes a vertex. */
export interface PackedSurface extends SurfaceHead {
  /** x, y, z in steps and the octahedral normal, per vertex. */
  readonly vertices: Uint16Array;
  readonly triangles: Uint32Array;
}

export const wordsPerVertex = 4;
export const mostSteps = 65535;

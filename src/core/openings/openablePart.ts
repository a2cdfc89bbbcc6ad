import type { Vec3 } from '../vector.ts';
import type { SurfaceIndex } from './surfaceIndex.ts';

/** A posed part as openings see it: print frame, mm. Index the surfaces once and place any number. */
export interface OpenablePart {
  /** Over the outer surface. */
  readonly outer: SurfaceIndex;
  /** Over the cavity; null for a solid part or one without chambers. */
  readonly cavity: SurfaceIndex | null;
  /** Chamber by facet of the cavity's mesh; null together with `cavity`. */
  readonly facetChamber: Uint32Array | null;
  /** Null for a solid part. */
  readonly wallMm: number | null;
  /** From source coordinates to the print frame: points, and directions (any length). */
  readonly toPrint: (point: Vec3) => Vec3;
  readonly directionToPrint: (direction: Vec3) => Vec3;
}

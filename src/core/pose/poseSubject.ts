import type { Mesh } from '../mesh/mesh.ts';
import type { FacingAreas } from './facingAreas.ts';
import type { PoseOpening } from './openingsAway.ts';

/** What poses of a part are compared by. Source axes at finished size, mm; plain data that can cross threads. */
export interface PoseSubject {
  /** Closed and light. */
  readonly skin: Mesh;
  /** What is hollow, as a solid of its own; null when nothing is. */
  readonly cavity: Mesh | null;
  /** Points whose hull is the part's, or nearly so. */
  readonly hull: Float32Array | Float64Array;
  /** Everything solid that faces somewhere, walls of hollows included; and the show side alone. */
  readonly facing: FacingAreas;
  readonly shown: FacingAreas | null;
  /** Vents and drains that are there. */
  readonly openings: readonly PoseOpening[];
}

import type { Affine } from '../core/affine.ts';
import type { Cavity } from '../core/field/cavity.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { PartRequest } from './partRequest.ts';
import type { PreparedMesh } from './prepareMesh.ts';

/** A part as posed: all meshes in the print frame, the cavity's facts in source axes at finished size. */
export interface PosedPart {
  readonly request: PartRequest;
  readonly prepared: PreparedMesh;
  readonly outer: Mesh;
  /** Before overlapping shells were united. */
  readonly mended: Mesh;
  readonly frame: Affine;
  readonly cavity: Cavity | null;
  readonly posedCavity: Mesh | null;
}

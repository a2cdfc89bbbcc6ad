import type { Cavity } from '../core/field/cavity.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { PartRequest } from './partRequest.ts';
import type { Pose, PosedMeshes } from './posePart.ts';
import type { PreparedMesh } from './prepareMesh.ts';

/** A part as posed: its meshes in the print frame, the cavity's facts in source axes at finished size. */
export interface PosedPart {
  readonly request: Pick<PartRequest, 'factor' | 'wall' | 'keepSolid'>;
  readonly prepared: PreparedMesh;
  readonly pose: Pose;
  readonly posed: PosedMeshes;
  /** As posed, before overlapping shells were united. */
  readonly mended: Mesh;
  readonly cavity: Cavity | null;
}

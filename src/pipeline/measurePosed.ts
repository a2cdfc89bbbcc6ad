import { applyAffine, type Affine } from '../core/affine.ts';
import type { Cavity, Chamber } from '../core/field/cavity.ts';
import { portion } from '../core/interrupter.ts';
import type { ChamberFacts, HollowFacts, MeshFacts, PartFacts } from '../core/kit/partFacts.ts';
import { buildVoidGraph } from '../core/layers/buildVoidGraph.ts';
import { linkOpenings } from '../core/layers/linkOpenings.ts';
import { measureLayers } from '../core/layers/measureLayers.ts';
import { sweepCups } from '../core/layers/sweepCups.ts';
import { trappedLiquid } from '../core/layers/trappedLiquid.ts';
import { findDoubledWalls } from '../core/mesh/findDoubledWalls.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import { computePartLoads } from '../core/physics/computePartLoads.ts';
import { buildRayGrid } from '../core/rays/buildRayGrid.ts';
import { latticeFor } from '../core/rays/latticeFor.ts';
import type { Result } from '../core/result.ts';
import type { PartRequest } from './partRequest.ts';
import type { PreparedMesh } from './prepareMesh.ts';
import type { StageContext } from './stageContext.ts';

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

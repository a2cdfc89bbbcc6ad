import { type Affine, affineOf, afterScaling, transformMesh } from '../core/affine.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { type MassProperties, massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type PosedMesh, poseMesh } from '../core/mesh/pose.ts';
import { buildSurfaceIndex, type SurfaceIndex } from '../core/openings/surfaceIndex.ts';
import { type Result, success } from '../core/result.ts';
import type { PartRequest } from './partRequest.ts';
import type { PreparedMesh } from './prepareMesh.ts';
import type { StageStore } from './stageStore.ts';

/** What a pose makes of a part as a whole; small, so that later keys can be made without its meshes. */
export interface Pose {
  /** Source coordinates → print frame. */
  readonly frame: Affine;
  /** Of the clean mesh as posed. */
  readonly mass: MassProperties;
}

/** Print frame. */
export interface PosedMeshes {
  readonly outer: Mesh;
  /** Outward, as a solid of its own; null when the part stays solid. */
  readonly cavity: Mesh | null;
}

type PoseDecision = Pick<PartRequest, 'factor' | 'turn' | 'raise'>;

export function poseOf(
  mesh: Mesh,
  { factor, turn, raise }: PoseDecision,
  interrupter: Interrupter,
): PosedMesh {
  return poseMesh(mesh, { factor, turn, raise, mirrored: false }, interrupter);
}

/** The vertices of both meshes in the print frame; their facets are those of the meshes before. */
export async function posedMeshes(
  store: StageStore,
  key: string,
  { factor }: PartRequest,
  clean: Mesh,
  cavity: Mesh | null,
  pose: () => Promise<Result<PosedMesh>>,
): Promise<Result<PosedMeshes>> {
  const positions = await store.get('posed', key, 'memory', async () => {
    const posed = await pose();
    if (!posed.ok) return posed;
    const { mesh, toPrint } = posed.value;
    const toPosed = afterScaling(affineOf(toPrint), 1 / factor);
    return success({
      outer: mesh.positions,
      cavity: cavity === null ? null : transformMesh(cavity, toPosed).positions,
    });
  });
  if (!positions.ok) return positions;
  const { outer, cavity: inner } = positions.value;
  return success({
    outer: { positions: outer, triangles: clean.triangles },
    cavity: cavity === null ? null : { positions: inner!, triangles: cavity.triangles },
  });
}

/** Figures of a closed mesh that is known already are only carried over to the print frame. */
export function measurePose(
  { mesh, bounds, toPrint }: PosedMesh,
  { topology, isAsReported, sound }: Pick<PreparedMesh, 'topology' | 'isAsReported' | 'sound'>,
  factor: number,
  interrupter: Interrupter,
): Pose {
  const frame = affineOf(toPrint);
  if (!(sound && isAsReported)) return { frame, mass: massProperties(mesh, interrupter) };
  const volume = topology.signedVolume * factor ** 3;
  const area = topology.area * factor ** 2;
  return { frame, mass: { volume, area, centroid: toPrint(topology.centroid), bounds } };
}

export interface IndexedMeshes {
  readonly outer: SurfaceIndex;
  readonly cavity: SurfaceIndex | null;
}

/** Both posed surfaces so that openings find their place on them without a pass over all facets. */
export async function indexedMeshes(
  store: StageStore,
  key: string,
  { outer, cavity }: PosedMeshes,
  interrupter: Interrupter,
): Promise<Result<IndexedMeshes>> {
  const boxes = ({ boxes, levelStart }: SurfaceIndex) => ({ boxes, levelStart });
  const indexes = await store.get('index', key, 'memory', () =>
    success({
      outer: boxes(buildSurfaceIndex(outer, portion(interrupter, 0, 0.4))),
      cavity: cavity === null ? null : boxes(buildSurfaceIndex(cavity, portion(interrupter, 0.4, 0.6))),
    }),
  );
  if (!indexes.ok) return indexes;
  return success({
    outer: { mesh: outer, ...indexes.value.outer },
    cavity: cavity === null ? null : { mesh: cavity, ...indexes.value.cavity! },
  });
}

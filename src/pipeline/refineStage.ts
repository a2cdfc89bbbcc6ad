import type { Mesh } from '../core/mesh/mesh.ts';
import type { PackedSurface } from '../core/surface/packedSurface.ts';
import type { SurfaceSet } from '../protocol/surfacePiece.ts';
import { refineSurface } from './refineSurface.ts';
import { openStageCache } from './stageCache.ts';

/** A mesh of which only a first picture has been made so far. */
export interface UnrefinedSurface {
  readonly key: string;
  readonly mesh: Mesh;
  /** mm per unit of the mesh. */
  readonly scale: number;
}

/** A refined surface as the cache keeps it. */
export interface KeptSurface {
  readonly fullTriangles: number;
  readonly levels: readonly PackedSurface[];
}

/** Refines a surface and keeps the levels, so that a part that is opened again shows them at once. */
export async function refineStage(
  { key, mesh, scale }: UnrefinedSurface,
  kitDir: string | null,
): Promise<SurfaceSet> {
  const kept: KeptSurface = {
    fullTriangles: mesh.triangles.length / 3,
    levels: await refineSurface(mesh, scale),
  };
  if (kitDir !== null) await openStageCache(kitDir, true).write('view', key, kept);
  return { key, refined: true, ...kept };
}

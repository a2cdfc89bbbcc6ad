import { uninterrupted } from '../core/interrupter.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { clusterMesh } from '../core/mesh/clusterMesh.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import type { OpeningView, PartView, ViewMesh } from '../protocol/partView.ts';
import type { PartMeshes } from './measurePart.ts';

/** The meshes and openings of a `PartView`; findings and strata are added where the manifest is known. */
export type PartGeometry = Pick<PartView, 'outer' | 'cavity' | 'openings'>;

/** What a webview draws fluidly without hardware help. */
const drawnTriangles = 300_000;

export function viewGeometry({ outer, cavity }: PartMeshes, facts: PartFacts): PartGeometry {
  return {
    outer: viewMesh(outer),
    cavity: cavity === null || cavity.triangles.length === 0 ? null : viewMesh(cavity),
    openings: facts.openings.flatMap(openingView),
  };
}

function viewMesh(mesh: Mesh): ViewMesh {
  return { ...clusterMesh(mesh, drawnTriangles, uninterrupted), fullTriangles: mesh.triangles.length / 3 };
}

function openingView({ placed, chamberDepthMm }: OpeningFacts): OpeningView[] {
  if (placed === null) return [];
  const boreMm = Math.min(chamberDepthMm ?? placed.depth, placed.depth);
  return [{ ...placed, boreMm }];
}

import { type Affine, afterScaling } from '../core/affine.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type Result, success } from '../core/result.ts';
import type { OpeningView, PartScene } from '../protocol/partView.ts';
import type { SurfaceSet } from '../protocol/surfacePiece.ts';
import { firstSurface } from './firstSurface.ts';
import { type MeshWatch, measurePart } from './measurePart.ts';
import { openingView } from './openingView.ts';
import type { PartRequest } from './partRequest.ts';
import { refinedLevels } from './refinedLevels.ts';
import type { KeptSurface, UnrefinedSurface } from './refineStage.ts';
import { sharedMesh } from './sharedMesh.ts';
import { noCache, openStageCache, stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';

export interface ViewRequest extends PartRequest {
  /** Keys of surfaces that need not be sent. */
  readonly held?: readonly string[];
}

/** What is sent ahead of the facts. */
export type Picture = { readonly scene: PartScene } | { readonly surface: SurfaceSet };

export interface MeasuredView extends Pick<PartScene, 'toPrint' | 'outer' | 'cavity'> {
  readonly facts: PartFacts;
  readonly frame: Affine;
  readonly openings: readonly OpeningView[];
  /** What was sent for a first picture only. */
  readonly unrefined: readonly UnrefinedSurface[];
}

/**
 * Measures a part for the turntable. Surfaces that the other side does not hold go out on the way:
 * refined ones out of the cache, else a first picture as soon as there is a mesh.
 */
export async function viewPart(
  request: ViewRequest,
  context: StageContext,
  show: (picture: Picture) => void,
): Promise<Result<MeasuredView>> {
  const watch = surfaceWatch(request, context, show);
  const measured = await measurePart(request, context, { keepMeshes: false, hashAgain: false, watch });
  if (!measured.ok) return measured;
  await watch.keepEmpty();
  const { facts, frame } = measured.value;
  return success({
    facts,
    frame,
    toPrint: afterScaling(frame, 1 / request.factor),
    ...watch.keys,
    openings: facts.openings.flatMap((opening) => openingView(opening) ?? []),
    unrefined: watch.unrefined,
  });
}

interface SurfaceWatch extends MeshWatch {
  keys: { outer: string; cavity: string | null };
  readonly unrefined: UnrefinedSurface[];
  /** That there is no hollow is worth remembering too: else it would be looked for at every edit. */
  keepEmpty(): Promise<void>;
}

function surfaceWatch(
  request: ViewRequest,
  context: StageContext,
  show: (picture: Picture) => void,
): SurfaceWatch {
  const { name, kitDir, readCache, factor, machine, held = [] } = request;
  const cache = kitDir === null ? noCache : openStageCache(kitDir, readCache);
  const missing = new Set<string>();
  const nothing: KeptSurface = { fullTriangles: 0, levels: [] };
  let empty: string | null = null;

  async function showKept(key: string): Promise<boolean> {
    const kept = (await cache.read('view', key)) as KeptSurface | null;
    if (kept === null) return false;
    show({ surface: { key, refined: true, ...kept } });
    return true;
  }

  function showFirst(key: string, mesh: Mesh, scale: number): void {
    const levels = firstSurface(mesh, scale, context.stage('preparing the picture'));
    show({ surface: { key, refined: false, fullTriangles: mesh.triangles.length / 3, levels } });
    watch.unrefined.push({ key, mesh: sharedMesh(mesh), scale });
  }

  const watch: SurfaceWatch = {
    keys: { outer: '', cavity: null },
    unrefined: [],
    async wants(meshKeys) {
      const outer = stageKey('view', [refinedLevels, meshKeys.outer, factor]);
      const cavity = meshKeys.cavity === null ? null : stageKey('view', [refinedLevels, meshKeys.cavity]);
      watch.keys = { outer, cavity };
      for (const key of cavity === null ? [outer] : [outer, cavity]) {
        if (!held.includes(key) && !(await showKept(key))) missing.add(key);
      }
      return missing.size > 0;
    },
    outer(clean, frame) {
      if (!missing.has(watch.keys.outer)) return;
      const { plate, height, margin } = machine;
      const toPrint = afterScaling(frame, 1 / factor);
      show({ scene: { part: name, machine: { plate, height, margin }, toPrint, ...watch.keys } });
      showFirst(watch.keys.outer, clean, factor);
    },
    cavity(mesh) {
      const { cavity } = watch.keys;
      if (cavity === null || !missing.has(cavity)) return;
      if (mesh !== null && mesh.triangles.length > 0) return showFirst(cavity, mesh, 1);
      empty = cavity;
      show({ surface: { key: cavity, refined: true, ...nothing } });
    },
    async keepEmpty() {
      if (empty !== null) await cache.write('view', empty, nothing);
    },
  };
  return watch;
}

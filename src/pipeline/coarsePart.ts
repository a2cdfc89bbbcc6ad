import { type Result, success } from '../core/result.ts';
import { firstSurface } from './firstSurface.ts';
import { withStages } from './measurePart.ts';
import { recordedHash } from './partFileSource.ts';
import { partKeys } from './partKeys.ts';
import type { PartRequest } from './partRequest.ts';
import type { KeptSurface } from './refineStage.ts';
import { openStageCache, stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';

/** A part's outer surface as one light level, source axes at finished size, under a key that names it for good. */
export interface CoarsePart extends KeptSurface {
  readonly key: string;
}

const coarseKey = (mesh: string, factor: number): string => stageKey('coarse', [mesh, factor]);

/** The surface where it is kept and the file is as it was: small reads, no thread, no mesh. Null where it must be made. */
export async function keptCoarsePart(request: PartRequest): Promise<CoarsePart | null> {
  const { kitDir, readCache, path, factor } = request;
  if (kitDir === null || !readCache) return null;
  const hash = await recordedHash(kitDir, path);
  if (hash === null) return null;
  const key = coarseKey(partKeys(request, hash).mesh, factor);
  const kept = (await openStageCache(kitDir, true).read('coarse', key)) as KeptSurface | null;
  return kept === null ? null : { key, ...kept };
}

/** Reads a part, or what its cuts leave of it, and makes its light surface; it is kept for the next time. */
export function coarsePart(request: PartRequest, context: StageContext): Promise<Result<CoarsePart>> {
  const { kitDir, readCache, factor } = request;
  return withStages(request, context, false, async (stages): Promise<Result<CoarsePart>> => {
    const prepared = await stages.prepared();
    if (!prepared.ok) return prepared;
    const { clean } = prepared.value;
    const [coarsest] = firstSurface(clean, factor, context.stage('preparing the picture'));
    const kept: KeptSurface = {
      fullTriangles: clean.triangles.length / 3,
      levels: coarsest === undefined ? [] : [coarsest],
    };
    const key = coarseKey(stages.keys.mesh, factor);
    if (kitDir !== null) await openStageCache(kitDir, readCache).write('coarse', key, kept);
    return success({ key, ...kept });
  });
}

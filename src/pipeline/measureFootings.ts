import { portion } from '../core/interrupter.ts';
import { type Footing, footingOf } from '../core/joints/footing.ts';
import { type Result, success } from '../core/result.ts';
import type { Vec3 } from '../core/vector.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { withStages } from './measurePart.ts';
import { recordedHash } from './partFileSource.ts';
import { partKeys } from './partKeys.ts';
import type { PartRequest } from './partRequest.ts';
import { openStageCache, stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';

/** Parts, all of them measured, whose footing is asked for. Plain data. */
export interface FootingsRequest {
  /** Absolute path of the manifest: footings of one kit are measured in turn. */
  readonly path: string;
  readonly kitDir: string;
  /** False: write the cache but do not read it. */
  readonly readCache: boolean;
  /** Source axes. */
  readonly up: Vec3;
  readonly parts: readonly PartRequest[];
}

/** What is kept of the parts, in their order; null for each that must be measured. */
export async function keptFootings(request: FootingsRequest): Promise<(Footing | null)[]> {
  const cache = openStageCache(request.kitDir, request.readCache);
  const kept = request.parts.map(async (part) => {
    const key = await footingKey(request, part);
    return key === null ? null : await cache.read('footing', key);
  });
  return (await Promise.all(kept)) as (Footing | null)[];
}

export async function measureFootings(
  request: FootingsRequest,
  context: StageContext,
): Promise<Result<Footing[]>> {
  const { kitDir, up, parts } = request;
  const cache = openStageCache(kitDir, false);
  const footings: Footing[] = [];
  for (const [n, part] of parts.entries()) {
    const prepared = await withStages(part, context, false, (stages) => stages.prepared());
    if (!prepared.ok) return prepared;
    const mesh = atFinishedSize(prepared.value.clean, part.factor);
    const standing = portion(context.stage('standing it up'), n / parts.length, (n + 1) / parts.length);
    const footing = footingOf(mesh, up, standing);
    const key = await footingKey(request, part);
    if (key !== null) await cache.write('footing', key, footing);
    footings.push(footing);
  }
  return success(footings);
}

async function footingKey({ kitDir, up }: FootingsRequest, part: PartRequest): Promise<string | null> {
  const hash = await recordedHash(kitDir, part.path);
  return hash === null ? null : stageKey('footing', [partKeys(part, hash).mesh, part.factor, up]);
}

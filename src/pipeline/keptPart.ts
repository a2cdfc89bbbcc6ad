import type { Affine } from '../core/affine.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { recordedHash } from './partFileSource.ts';
import { partKeys } from './partKeys.ts';
import type { PartRequest } from './partRequest.ts';
import type { Pose } from './posePart.ts';
import { openStageCache } from './stageCache.ts';

/**
 * A part's facts when all that they depend on is as it was: a few small reads, no thread, no mesh.
 * Null when the part must be measured (or the cache must not be read).
 */
export async function keptPart(
  request: PartRequest,
): Promise<{ readonly facts: PartFacts; readonly frame: Affine } | null> {
  const { kitDir, readCache, path, name } = request;
  if (kitDir === null || !readCache) return null;
  const hash = await recordedHash(kitDir, path);
  if (hash === null) return null;
  const keys = partKeys(request, hash);
  const cache = openStageCache(kitDir, true);
  const pose = (await cache.read('pose', keys.pose)) as Pose | null;
  if (pose === null) return null;
  const facts = (await cache.read('facts', keys.facts(pose))) as Omit<PartFacts, 'name'> | null;
  return facts === null ? null : { facts: { name, ...facts }, frame: pose.frame };
}

import { buildFacetTree } from '../core/field/facetTree.ts';
import { portion } from '../core/interrupter.ts';
import type { Joint } from '../core/joints/joint.ts';
import type { JointBody } from '../core/joints/jointPlaces.ts';
import { measureJoint } from '../core/joints/measureJoint.ts';
import { boundsOf } from '../core/mesh/boundsOf.ts';
import { type Result, success } from '../core/result.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { withStages } from './measurePart.ts';
import { recordedHash } from './partFileSource.ts';
import { partKeys } from './partKeys.ts';
import type { PartRequest } from './partRequest.ts';
import { openStageCache, stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';

/** Pairs of parts, all of them measured, that may meet. Plain data. */
export interface JointsRequest {
  /** Absolute path of the manifest: joints of one kit are measured in turn. */
  readonly path: string;
  readonly kitDir: string;
  /** False: write the cache but do not read it. */
  readonly readCache: boolean;
  readonly reachMm: number;
  readonly pairs: readonly (readonly [PartRequest, PartRequest])[];
}

/** Null where the parts do not meet. */
export interface MeasuredPair {
  readonly joint: Joint | null;
}

/** What is kept of the pairs, in their order; null for each that must be measured. */
export async function keptJoints(request: JointsRequest): Promise<(MeasuredPair | null)[]> {
  const { kitDir, readCache, pairs } = request;
  const cache = openStageCache(kitDir, readCache);
  const kept = pairs.map(async (pair) => {
    const key = await pairKey(request, pair);
    return key === null ? null : await cache.read('joint', key);
  });
  return (await Promise.all(kept)) as (MeasuredPair | null)[];
}

/** Pairs that share a part should follow each other: its surface is then made ready once. */
export async function measureJoints(
  request: JointsRequest,
  context: StageContext,
): Promise<Result<MeasuredPair[]>> {
  const { kitDir, pairs, reachMm } = request;
  const cache = openStageCache(kitDir, false);
  const bodyOf = bodies(context);
  const measured: MeasuredPair[] = [];
  for (const [n, pair] of pairs.entries()) {
    const first = await bodyOf(pair[0]);
    if (!first.ok) return first;
    const second = await bodyOf(pair[1]);
    if (!second.ok) return second;
    const measuring = portion(context.stage('measuring joints'), n / pairs.length, (n + 1) / pairs.length);
    const made = { joint: measureJoint(first.value, second.value, reachMm, measuring) };
    const key = await pairKey(request, pair);
    if (key !== null) await cache.write('joint', key, made);
    measured.push(made);
  }
  return success(measured);
}

/** By both meshes at finished size and by nothing else: an opening, a pose or a wall leaves a joint as it is. */
async function pairKey(
  { kitDir, reachMm }: JointsRequest,
  pair: readonly [PartRequest, PartRequest],
): Promise<string | null> {
  const hashes = await Promise.all(pair.map(({ path }) => recordedHash(kitDir, path)));
  if (hashes.some((hash) => hash === null)) return null;
  return stageKey('joint', [
    ...pair.map((part, n) => [partKeys(part, hashes[n]!).mesh, part.factor]),
    reachMm,
  ]);
}

/** Bodies of parts; the last two that were asked for are held. */
function bodies(context: StageContext): (request: PartRequest) => Promise<Result<JointBody>> {
  const held: { readonly name: string; readonly body: JointBody }[] = [];
  return async (request) => {
    const known = held.findIndex(({ name }) => name === request.name);
    if (known >= 0) {
      const [entry] = held.splice(known, 1);
      held.push(entry!);
      return success(entry!.body);
    }
    const prepared = await withStages(request, context, false, (stages) => stages.prepared());
    if (!prepared.ok) return prepared;
    const mesh = atFinishedSize(prepared.value.clean, request.factor);
    const tree = buildFacetTree(mesh, context.stage('indexing surfaces'));
    const body = { mesh, tree, bounds: boundsOf(mesh.positions) };
    if (held.length === 2) held.shift();
    held.push({ name: request.name, body });
    return success(body);
  };
}

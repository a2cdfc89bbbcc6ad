import { buildFacetTree } from '../core/field/facetTree.ts';
import { portion } from '../core/interrupter.ts';
import { isSwallowed, type WeighedBody } from '../core/joints/isSwallowed.ts';
import type { Joint } from '../core/joints/joint.ts';
import { measureJoint } from '../core/joints/measureJoint.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import { type Result, success } from '../core/result.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { withStages } from './measurePart.ts';
import { recordedHash } from './partFileSource.ts';
import { partKeys } from './partKeys.ts';
import type { PartRequest } from './partRequest.ts';
import { openStageCache, type StageCache, stageKey } from './stageCache.ts';
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

export interface MeasuredPair {
  /** More than half of one lies in the other: see `isSwallowed`. */
  readonly swallowed: boolean;
  /** Null where the parts do not meet, or one lies in the other. */
  readonly joint: Joint | null;
}

/** So many pairs lying in each other tell that a kit does not stand together; more are not measured. Engineering choice. */
const ENOUGH_SWALLOWED = 3;

/** What is kept of the pairs, in their order as far as `measureJoints` would go; null where one of those must be measured. */
export async function keptJoints(request: JointsRequest): Promise<MeasuredPair[] | null> {
  const { kitDir, readCache, pairs } = request;
  const cache = openStageCache(kitDir, readCache);
  const kept = await Promise.all(pairs.map((pair) => keptPair(cache, request, pair)));
  const known: MeasuredPair[] = [];
  for (const pair of kept) {
    if (pair === null) return null;
    known.push(pair);
    if (tellsEnough(known)) break;
  }
  return known;
}

/**
 * Pair by pair until enough of them tell that the files do not stand together: of parts that all lie at one origin
 * every two overlap. Pairs that share a part should follow each other: its surface is then made ready once.
 */
export async function measureJoints(
  request: JointsRequest,
  context: StageContext,
): Promise<Result<MeasuredPair[]>> {
  const { kitDir, readCache, pairs, reachMm } = request;
  const cache = openStageCache(kitDir, readCache);
  const measuredAnew = measuringPairs(context);
  const measured: MeasuredPair[] = [];
  for (const [n, pair] of pairs.entries()) {
    let known = await keptPair(cache, request, pair);
    if (known === null) {
      const share = [n / pairs.length, (n + 1) / pairs.length] as const;
      const made = await measuredAnew(pair, reachMm, share);
      if (!made.ok) return made;
      known = made.value;
      const key = await pairKey(request, pair);
      if (key !== null) await cache.write('joint', key, known);
    }
    measured.push(known);
    if (tellsEnough(measured)) break;
  }
  return success(measured);
}

/** `share`: from which part of the whole work to which this pair is. */
function measuringPairs(context: StageContext) {
  const bodyOf = bodies(context);
  return async (
    pair: readonly [PartRequest, PartRequest],
    reachMm: number,
    share: readonly [number, number],
  ): Promise<Result<MeasuredPair>> => {
    const first = await bodyOf(pair[0]);
    if (!first.ok) return first;
    const second = await bodyOf(pair[1]);
    if (!second.ok) return second;
    const measuring = portion(context.stage('measuring joints'), ...share);
    if (isSwallowed(first.value, second.value, portion(measuring, 0, 0.1)))
      return success({ swallowed: true, joint: null });
    const joint = measureJoint(first.value, second.value, reachMm, portion(measuring, 0.1, 1));
    return success({ swallowed: false, joint });
  };
}

async function keptPair(
  cache: StageCache,
  request: JointsRequest,
  pair: readonly [PartRequest, PartRequest],
): Promise<MeasuredPair | null> {
  const key = await pairKey(request, pair);
  return key === null ? null : ((await cache.read('joint', key)) as MeasuredPair | null);
}

const tellsEnough = (measured: readonly MeasuredPair[]): boolean =>
  measured.filter(({ swallowed }) => swallowed).length >= ENOUGH_SWALLOWED;

/** By both meshes at finished size and by nothing else: an opening, a pose or a wall leaves a joint as it is. */
async function pairKey(
  { kitDir, reachMm }: JointsRequest,
  parts: readonly [PartRequest, PartRequest],
): Promise<string | null> {
  const hashes = await Promise.all(parts.map(({ path }) => recordedHash(kitDir, path)));
  if (hashes.some((hash) => hash === null)) return null;
  return stageKey('joint', [
    ...parts.map((part, n) => [partKeys(part, hashes[n]!).mesh, part.factor]),
    reachMm,
  ]);
}

/** Bodies of parts; the last two that were asked for are held. */
function bodies(context: StageContext): (request: PartRequest) => Promise<Result<WeighedBody>> {
  const held: { readonly name: string; readonly body: WeighedBody }[] = [];
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
    const { volume, bounds } = massProperties(mesh, context.stage('weighing'));
    const body = { mesh, tree, bounds, volumeMm3: Math.abs(volume) };
    if (held.length === 2) held.shift();
    held.push({ name: request.name, body });
    return success(body);
  };
}

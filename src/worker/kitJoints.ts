import { join } from 'node:path';
import { fitChange } from '../core/joints/fitChange.ts';
import { sharedPart } from '../core/joints/isSwallowed.ts';
import type { FittedJoint, SwallowedPair } from '../core/joints/jointFacts.ts';
import { sharedBox } from '../core/joints/jointPlaces.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import { sizeDoubt } from '../core/trueSize/sizeDoubt.ts';
import type { Box } from '../core/vector.ts';
import { type JointsRequest, keptJoints, type MeasuredPair } from '../pipeline/measureJoints.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import type { StandingPart } from './standingParts.ts';

/** Boxes that share so much of the smaller one are looked at first: their parts may not stand together at all. */
const MOSTLY_WITHIN = 0.9;

export interface KitJoints {
  /** In the order of the manifest. */
  readonly joints: readonly FittedJoint[];
  /** Parts that lie in each other, as far as it took to tell that the files do not stand together. */
  readonly swallowed: readonly SwallowedPair[];
}

/** Where the parts meet as the sculptor put them together. */
export async function kitJoints(
  { limits, machine }: Manifest,
  standing: readonly StandingPart[],
  kitDir: string,
  noCache: boolean,
  context: EngineContext,
): Promise<KitJoints> {
  const reachMm = limits.jointReach;
  const near = standing.flatMap((first, n) =>
    standing
      .slice(n + 1)
      .filter((second) => isNear(first.box, second.box, reachMm))
      .map((second) => ({ first, second })),
  );
  const order = [...near].sort((a, b) => rank(a) - rank(b));
  const pairs = order.map(({ first, second }) => [first.request, second.request] as const);
  const path = join(kitDir, manifestName);
  const measured = await measuredPairs({ path, kitDir, readCache: !noCache, reachMm, pairs }, context);
  const found = new Map(measured.map((pair, at) => [order[at]!, pair]));
  const joints = near.flatMap((pair): FittedJoint[] => {
    const joint = found.get(pair)?.joint ?? null;
    if (joint === null) return [];
    const { first, second } = pair;
    const toPrint = [first.toPrint, second.toPrint] as const;
    const doubts = [
      sizeDoubt(first.request.resin, machine, limits),
      sizeDoubt(second.request.resin, machine, limits),
    ] as const;
    return [
      {
        first: first.request.name,
        second: second.request.name,
        joint,
        toPrint,
        fit: fitChange({ joint, toPrint }, doubts),
      },
    ];
  });
  const swallowed = near
    .filter((pair) => found.get(pair)?.swallowed)
    .map(({ first, second }) => ({ first: first.request.name, second: second.request.name }));
  return { joints, swallowed };
}

const rank = ({ first, second }: { readonly first: StandingPart; readonly second: StandingPart }): number =>
  sharedPart(first.box, second.box) >= MOSTLY_WITHIN ? 0 : 1;

function isNear(a: Box, b: Box, reachMm: number): boolean {
  const { min, max } = sharedBox(a, b, reachMm);
  return min.every((low, axis) => low <= max[axis]!);
}

/** A thread is asked only where something is not kept. */
async function measuredPairs(
  request: JointsRequest,
  { pool, call }: EngineContext,
): Promise<readonly MeasuredPair[]> {
  const kept = await keptJoints(request);
  if (kept !== null) return kept;
  const made = await pool.run('joints', request, {
    bytes: Math.max(
      ...request.pairs.map(([first, second]) => estimateBytes(first.path) + estimateBytes(second.path)),
    ),
    urgent: false,
    signal: call.signal,
    onProgress: ({ stage, fraction }) => call.progress({ kind: 'stage', part: 'joints', stage, fraction }),
  });
  if (!made.ok) throw new RpcError(made.error);
  return made.value;
}

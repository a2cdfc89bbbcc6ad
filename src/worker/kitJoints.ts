import { join } from 'node:path';
import { fitChange } from '../core/joints/fitChange.ts';
import type { FittedJoint } from '../core/joints/jointFacts.ts';
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

/** Where the parts meet as the sculptor put them together, in the order of the manifest. */
export async function kitJoints(
  { limits, machine }: Manifest,
  standing: readonly StandingPart[],
  kitDir: string,
  noCache: boolean,
  context: EngineContext,
): Promise<readonly FittedJoint[]> {
  const reachMm = limits.jointReach;
  const near = standing.flatMap((first, n) =>
    standing
      .slice(n + 1)
      .filter((second) => isNear(first.box, second.box, reachMm))
      .map((second) => [first, second] as const),
  );
  const pairs = near.map(([first, second]) => [first.request, second.request] as const);
  const path = join(kitDir, manifestName);
  const found = await measuredPairs({ path, kitDir, readCache: !noCache, reachMm, pairs }, context);
  return near.flatMap(([first, second], n): FittedJoint[] => {
    const { joint } = found[n]!;
    if (joint === null) return [];
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
}

function isNear(a: Box, b: Box, reachMm: number): boolean {
  const { min, max } = sharedBox(a, b, reachMm);
  return min.every((low, axis) => low <= max[axis]!);
}

/** A thread is asked for what is not kept, and for nothing else. */
async function measuredPairs(
  request: JointsRequest,
  { pool, call }: EngineContext,
): Promise<readonly MeasuredPair[]> {
  const kept = await keptJoints(request);
  const pairs = request.pairs.filter((_, n) => kept[n] === null);
  if (pairs.length === 0) return kept as MeasuredPair[];
  const made = await pool.run(
    'joints',
    { ...request, pairs },
    {
      bytes: Math.max(...pairs.map((pair) => estimateBytes(pair[0].path) + estimateBytes(pair[1].path))),
      urgent: false,
      signal: call.signal,
      onProgress: ({ stage, fraction }) => call.progress({ kind: 'stage', part: 'joints', stage, fraction }),
    },
  );
  if (!made.ok) throw new RpcError(made.error);
  let next = 0;
  return kept.map((pair) => pair ?? made.value[next++]!);
}

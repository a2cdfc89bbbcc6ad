import { join } from 'node:path';
import { afterScaling, applyAffine, invertSimilarity } from '../core/affine.ts';
import type { JointFacts } from '../core/joints/jointFacts.ts';
import { sharedBox } from '../core/joints/jointPlaces.ts';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import type { Box, Vec3 } from '../core/vector.ts';
import { type JointsRequest, keptJoints, type MeasuredPair } from '../pipeline/measureJoints.ts';
import type { PartRequest } from '../pipeline/partRequest.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import type { Measured } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';

/**
 * Where the measured parts meet as the sculptor put them together, in the order of the manifest. A part whose surface is
 * not closed has no inside to measure from, and one printed as a mirror image only stands elsewhere: both are left out.
 */
export async function kitJoints(
  manifest: Manifest,
  measured: ReadonlyMap<string, Measured>,
  kitDir: string,
  noCache: boolean,
  context: EngineContext,
): Promise<readonly JointFacts[]> {
  if (!manifest.isAssembled) return [];
  const standing = manifest.parts.flatMap((part) => standingPart(manifest, part, measured, kitDir) ?? []);
  const reachMm = manifest.limits.jointReach;
  const near = standing.flatMap((first, n) =>
    standing
      .slice(n + 1)
      .filter((second) => isNear(first.box, second.box, reachMm))
      .map((second) => [first, second] as const),
  );
  const pairs = near.map(([first, second]) => [first.request, second.request] as const);
  const path = join(kitDir, manifestName);
  const found = await measuredPairs({ path, kitDir, readCache: !noCache, reachMm, pairs }, context);
  return near.flatMap(([first, second], n): JointFacts[] => {
    const { joint } = found[n]!;
    if (joint === null) return [];
    const toPrint = [first, second].map(({ frame, request }) => afterScaling(frame, 1 / request.factor));
    return [
      {
        first: first.request.name,
        second: second.request.name,
        joint,
        toPrint: [toPrint[0]!, toPrint[1]!],
      },
    ];
  });
}

interface StandingPart {
  readonly request: PartRequest;
  readonly frame: Measured['frame'];
  /** Source axes at finished size; of a part turned by odd angles larger than it is. */
  readonly box: Box;
}

function standingPart(
  manifest: Manifest,
  part: Part,
  measured: ReadonlyMap<string, Measured>,
  kitDir: string,
): StandingPart | null {
  const known = measured.get(part.name);
  // What was just measured may be read from the cache, whatever the check was told.
  const request = partRequestOf(manifest, part, kitDir, false);
  if (known === undefined || request === null || !known.facts.mesh.sound || part.count === 0) return null;
  const box = boxOf(known.facts.mesh.bounds, known.frame, request.factor);
  return { request, frame: known.frame, box };
}

function boxOf({ min, max }: Box, frame: Measured['frame'], factor: number): Box {
  const back = invertSimilarity(frame);
  const corners = Array.from({ length: 8 }, (_, n): Vec3 => {
    const corner: Vec3 = [n & 1 ? max[0] : min[0], n & 2 ? max[1] : min[1], n & 4 ? max[2] : min[2]];
    const [x, y, z] = applyAffine(back, corner);
    return [x * factor, y * factor, z * factor];
  });
  const most = (pick: (...values: number[]) => number): Vec3 => [
    pick(...corners.map(([x]) => x)),
    pick(...corners.map(([, y]) => y)),
    pick(...corners.map(([, , z]) => z)),
  ];
  return { min: most(Math.min), max: most(Math.max) };
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

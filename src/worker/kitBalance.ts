import { join } from 'node:path';
import { applyAffine } from '../core/affine.ts';
import { balanceFigure } from '../core/joints/balanceFigure.ts';
import type { FigureFacts } from '../core/joints/figureFacts.ts';
import type { Footing } from '../core/joints/footing.ts';
import type { Manifest } from '../core/kit/manifest.ts';
import { type FootingsRequest, keptFootings } from '../pipeline/measureFootings.ts';
import { manifestName } from '../pipeline/readManifest.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import type { StandingPart } from './standingParts.ts';

/** The figure put together, each part once and with what is put into it; null where nothing stands. */
export async function kitBalance(
  manifest: Manifest,
  standing: readonly StandingPart[],
  kitDir: string,
  noCache: boolean,
  context: EngineContext,
): Promise<FigureFacts | null> {
  const { assembled, parts } = manifest;
  if (assembled === null || standing.length === 0) return null;
  const path = join(kitDir, manifestName);
  const requests = standing.map(({ request }) => request);
  const footings = await footingsOf(
    { path, kitDir, readCache: !noCache, up: assembled.up, parts: requests },
    context,
  );
  const weighed = standing.map(({ request, facts, fromPrint }, n) => ({
    name: request.name,
    weight: {
      massG: facts.balance.total.massG,
      at: applyAffine(fromPrint, facts.balance.total.at),
    },
    footing: footings[n]!,
  }));
  const figure = balanceFigure(weighed, assembled.up);
  if (figure === null) return null;
  const ground = standing.find(({ request }) => request.name === figure.standsOn[0])!;
  const present = new Set(requests.map(({ name }) => name));
  return {
    figure,
    parts: weighed,
    toPrint: ground.toPrint,
    leftOut: parts.flatMap(({ name }) => (present.has(name) ? [] : [name])),
  };
}

/** A thread is asked for what is not kept, and for nothing else. */
async function footingsOf(
  request: FootingsRequest,
  { pool, call }: EngineContext,
): Promise<readonly Footing[]> {
  const kept = await keptFootings(request);
  const parts = request.parts.filter((_, n) => kept[n] === null);
  if (parts.length === 0) return kept as Footing[];
  const made = await pool.run(
    'footings',
    { ...request, parts },
    {
      bytes: Math.max(...parts.map(({ path }) => estimateBytes(path))),
      urgent: false,
      signal: call.signal,
      onProgress: ({ stage, fraction }) => call.progress({ kind: 'stage', part: 'figure', stage, fraction }),
    },
  );
  if (!made.ok) throw new RpcError(made.error);
  let next = 0;
  return kept.map((footing) => footing ?? made.value[next++]!);
}

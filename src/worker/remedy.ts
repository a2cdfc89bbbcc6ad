import { parseManifest } from '../core/kit/parseManifest.ts';
import { placeAnswer, type RemedyAnswer, wallAnswer } from '../core/propose/remedyAnswer.ts';
import type { Result } from '../core/result.ts';
import type { RemedyParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import { manifestText, wantedParts } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';

/** `remedy`: a change of the manifest that answers a finding and has to be looked for. Nothing is written. */
export async function remedy(params: RemedyParams, { pool, call }: EngineContext): Promise<RemedyAnswer> {
  const { ask } = params;
  const text = await manifestText(params);
  const { manifest } = parseManifest(text);
  const [part] = manifest === null ? [] : wantedParts(manifest, [params.part]);
  const request = !manifest || !part ? null : partRequestOf(manifest, part, params.kitDir, params.noCache);
  if (!manifest || !part || request === null) {
    throw new RpcError({
      code: 'manifest-unreadable',
      message: `kit.yaml does not say enough about ${params.part} to measure it.`,
    });
  }
  const options = {
    bytes: estimateBytes(request.path),
    urgent: true,
    signal: call.signal,
    onProgress: ({ stage, fraction }: { readonly stage: string; readonly fraction: number }) =>
      call.progress({ kind: 'stage', part: part.name, stage, fraction }),
  };
  if (ask.kind === 'find-wall') {
    const found = valueIn(await pool.run('findWall', request, options));
    return wallAnswer(text, part, manifest.limits, found);
  }
  const asked = { ...request, manifestText: text, opening: ask.opening };
  return placeAnswer(text, part, ask.opening, valueIn(await pool.run('findPlace', asked, options)));
}

function valueIn<T>(result: Result<T>): T {
  if (!result.ok) throw new RpcError(result.error);
  return result.value;
}

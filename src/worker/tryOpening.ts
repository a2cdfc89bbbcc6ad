import { parseManifest } from '../core/kit/parseManifest.ts';
import type { TryOpeningParams } from '../protocol/engineApi.ts';
import type { OpeningTrial } from '../protocol/openingTrial.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { EngineContext } from './engineContext.ts';
import { estimateBytes } from './estimateBytes.ts';
import { manifestText, wantedParts } from './measureKit.ts';
import { partRequestOf } from './partRequestOf.ts';

/** `tryOpening`: goes before everything that waits, since somebody holds the pointer still for it. */
export async function tryOpening(
  params: TryOpeningParams,
  { pool, call }: EngineContext,
): Promise<OpeningTrial> {
  const text = await manifestText(params);
  const { manifest } = parseManifest(text);
  const [part] = manifest === null ? [] : wantedParts(manifest, [params.part]);
  const request = !manifest || !part ? null : partRequestOf(manifest, part, params.kitDir, false);
  if (request === null) {
    throw new RpcError({
      code: 'manifest-unreadable',
      message: `kit.yaml does not say enough about ${params.part} to measure it.`,
    });
  }
  const result = await pool.run(
    'try',
    { ...request, manifestText: text, candidate: params.candidate },
    {
      bytes: estimateBytes(request.path),
      urgent: true,
      signal: call.signal,
      onProgress: ({ stage, fraction }) =>
        call.progress({ kind: 'stage', part: params.part, stage, fraction }),
    },
  );
  if (!result.ok) throw new RpcError(result.error);
  return result.value;
}

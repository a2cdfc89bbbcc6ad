import type { TrySupportParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { SupportTrial } from '../protocol/supportTrial.ts';
import { askedPart } from './askedPart.ts';
import type { EngineContext } from './engineContext.ts';
import { partJob } from './partJob.ts';

/** `trySupport`: goes before everything that waits, as `tryOpening` does. */
export async function trySupport(
  params: TrySupportParams,
  { pool, call }: EngineContext,
): Promise<SupportTrial> {
  const { text, request } = await askedPart(params, false);
  const result = await pool.run(
    'trySupport',
    { ...request, manifestText: text, candidate: params.candidate },
    partJob(params.part, request, call, true),
  );
  if (!result.ok) throw new RpcError(result.error);
  return result.value;
}

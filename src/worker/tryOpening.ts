import type { TryOpeningParams } from '../protocol/engineApi.ts';
import type { OpeningTrial } from '../protocol/openingTrial.ts';
import { RpcError } from '../protocol/rpc.ts';
import { askedPart } from './askedPart.ts';
import type { EngineContext } from './engineContext.ts';
import { partJob } from './partJob.ts';

/** `tryOpening`: goes before everything that waits, since somebody holds the pointer still for it. */
export async function tryOpening(
  params: TryOpeningParams,
  { pool, call }: EngineContext,
): Promise<OpeningTrial> {
  const { text, request } = await askedPart(params, false);
  const result = await pool.run(
    'try',
    { ...request, manifestText: text, candidate: params.candidate },
    partJob(params.part, request, call, true),
  );
  if (!result.ok) throw new RpcError(result.error);
  return result.value;
}

import { placeAnswer, type RemedyAnswer, wallAnswer } from '../core/propose/remedyAnswer.ts';
import type { Result } from '../core/result.ts';
import type { RemedyParams } from '../protocol/engineApi.ts';
import { RpcError } from '../protocol/rpc.ts';
import { askedPart } from './askedPart.ts';
import type { EngineContext } from './engineContext.ts';
import { partJob } from './partJob.ts';

/** `remedy`: a change of the manifest that answers a finding and has to be looked for. Nothing is written. */
export async function remedy(params: RemedyParams, { pool, call }: EngineContext): Promise<RemedyAnswer> {
  const { ask } = params;
  const { text, manifest, part, request } = await askedPart(params, params.noCache);
  const options = partJob(part.name, request, call, true);
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

import type { EngineProgress } from '../protocol/engineApi.ts';
import type { CallContext } from '../protocol/rpc.ts';
import { estimateBytes } from './estimateBytes.ts';
import type { JobOptions } from './workerPool.ts';

/** How a call's job on one part is run: its memory, its cancel, and its progress under the part's name. */
export function partJob(
  part: string,
  { path }: { readonly path: string },
  { signal, progress }: Pick<CallContext<EngineProgress>, 'signal' | 'progress'>,
  urgent = false,
): JobOptions {
  return {
    bytes: estimateBytes(path),
    urgent,
    signal,
    onProgress: ({ stage, fraction }) => progress({ kind: 'stage', part, stage, fraction }),
  };
}

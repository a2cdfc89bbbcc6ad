import type { EngineProgress } from '../protocol/engineApi.ts';
import type { CallContext } from '../protocol/rpc.ts';
import type { Refiner } from './refiner.ts';
import type { WorkerPool } from './workerPool.ts';

/** What a handler of the engine works with. */
export interface EngineContext {
  readonly pool: WorkerPool;
  readonly refiner: Refiner;
  readonly call: CallContext<EngineProgress>;
}

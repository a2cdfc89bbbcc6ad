import { setTimeout as delay } from 'node:timers/promises';
import { Worker } from 'node:worker_threads';
import { CancelledError } from '../core/interrupter.ts';
import type { UnrefinedSurface } from '../pipeline/refineStage.ts';
import { RpcError } from '../protocol/rpc.ts';
import type { SurfaceSet } from '../protocol/surfacePiece.ts';
import type { MemoryBudget } from './memoryBudget.ts';

/**
 * Refines surfaces one after the other, each in a thread of its own: it may be ended at any moment
 * (WASM hears no cancel), its memory goes with it, and the threads of the pool stay free for edits.
 */
export interface Refiner {
  refine(surface: UnrefinedSurface, kitDir: string | null, signal: AbortSignal): Promise<SurfaceSet>;
}

/** Measured: copies of the mesh and the simplifier's own tables, by triangle. */
const bytesPerTriangle = 160;
const budgetPollMs = 200;

export function openRefiner(script: URL, budget: MemoryBudget): Refiner {
  let last: Promise<unknown> = Promise.resolve();

  async function whenItFits(bytes: number, signal: AbortSignal): Promise<() => void> {
    for (;;) {
      signal.throwIfAborted();
      const free = budget.take(bytes);
      if (free !== null) return free;
      await delay(budgetPollMs, undefined, { signal });
    }
  }

  async function run(
    surface: UnrefinedSurface,
    kitDir: string | null,
    signal: AbortSignal,
  ): Promise<SurfaceSet> {
    const free = await whenItFits((surface.mesh.triangles.length / 3) * bytesPerTriangle, signal);
    const worker = new Worker(script, { workerData: { surface, kitDir } });
    const stop = () => void worker.terminate();
    signal.addEventListener('abort', stop, { once: true });
    try {
      return await new Promise<SurfaceSet>((resolve, reject) => {
        worker.once('message', resolve);
        worker.once('error', reject);
        worker.once('exit', () => reject(ended(signal)));
      });
    } finally {
      signal.removeEventListener('abort', stop);
      await worker.terminate();
      free();
    }
  }

  return {
    refine(surface, kitDir, signal) {
      const turn = last.then(
        () => run(surface, kitDir, signal),
        () => run(surface, kitDir, signal),
      );
      last = turn.catch(() => {});
      return turn;
    },
  };
}

function ended(signal: AbortSignal): Error {
  if (signal.aborted) return new CancelledError();
  return new RpcError({
    code: 'engine-stopped',
    message: 'The thread that refines the picture ended early. The picture stays a coarse one.',
  });
}

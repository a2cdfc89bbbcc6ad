import { parentPort } from 'node:worker_threads';
import { CancelledError, type Interrupter } from '../core/interrupter.ts';
import { measurePart } from '../pipeline/measurePart.ts';
import type { StageContext } from '../pipeline/stageContext.ts';
import { viewGeometry } from '../pipeline/viewGeometry.ts';
import { writeReady } from '../pipeline/writeReady.ts';
import { type CallContext, connect, type RpcMessage } from '../protocol/rpc.ts';
import type { Job, StageProgress, ThreadMethods } from './threadApi.ts';

/** Entry of a worker thread of the engine: one job at a time, stages one after the other. */
const port = parentPort;
if (port === null) throw new Error('partWorker runs as a worker thread only');

connect<Record<never, never>, ThreadMethods>(
  {
    send: (message) => port.postMessage(message),
    listen(listener) {
      port.on('message', listener as (message: RpcMessage) => void);
      return () => port.off('message', listener);
    },
  },
  {
    measure: ({ request, stop }, context) =>
      measurePart(request, stageContext(stop, context), { keepMeshes: false, hashAgain: false }),
    view: async ({ request, stop }, context) => {
      const measured = await measurePart(request, stageContext(stop, context), {
        keepMeshes: true,
        hashAgain: false,
      });
      if (!measured.ok) return measured;
      const { facts, frame, meshes } = measured.value;
      return { ok: true, value: { facts, frame, geometry: viewGeometry(meshes!, facts) } };
    },
    ready: ({ request, stop }, context) => writeReady(request, stageContext(stop, context)),
  },
);

const reportEveryMs = 50;

/** Stage names and an interrupter that looks at the shared stop flag and reports now and then. */
function stageContext(stop: Job<unknown>['stop'], context: CallContext<StageProgress>): StageContext {
  const flag = new Int32Array(stop);
  let last = 0;
  return {
    stage(name): Interrupter {
      context.progress({ stage: name, fraction: 0 });
      return (fraction) => {
        if (Atomics.load(flag, 0) !== 0) throw new CancelledError();
        const now = performance.now();
        if (now - last < reportEveryMs) return;
        last = now;
        context.progress({ stage: name, fraction });
      };
    },
  };
}

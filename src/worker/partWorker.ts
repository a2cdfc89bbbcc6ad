import { parentPort } from 'node:worker_threads';
import { CancelledError, type Interrupter } from '../core/interrupter.ts';
import { coarsePart } from '../pipeline/coarsePart.ts';
import { explainPart } from '../pipeline/explainPart.ts';
import { findPlace } from '../pipeline/findPlace.ts';
import { findWall } from '../pipeline/findWall.ts';
import { layOutPlates } from '../pipeline/layOutPlates.ts';
import { measureExtent } from '../pipeline/measureExtent.ts';
import { measureFootings } from '../pipeline/measureFootings.ts';
import { measureJoints } from '../pipeline/measureJoints.ts';
import { measurePart, preheatPart } from '../pipeline/measurePart.ts';
import { placePins } from '../pipeline/placePins.ts';
import { proposeLayouts } from '../pipeline/proposeLayouts.ts';
import { proposePart } from '../pipeline/proposePart.ts';
import { proposePoses } from '../pipeline/proposePoses.ts';
import { proposeSplit } from '../pipeline/proposeSplit.ts';
import { sharedTasks } from '../pipeline/sharedTasks.ts';
import { solidKernelOpened } from '../pipeline/solidKernel.ts';
import type { StageContext } from '../pipeline/stageContext.ts';
import { tryOpening } from '../pipeline/tryOpening.ts';
import { trySupport } from '../pipeline/trySupport.ts';
import { viewPart } from '../pipeline/viewPart.ts';
import type { WarmShelf } from '../pipeline/warmShelf.ts';
import { writeCoupon } from '../pipeline/writeCoupon.ts';
import { writePlate } from '../pipeline/writePlate.ts';
import { writeProof } from '../pipeline/writeProof.ts';
import { writeReady } from '../pipeline/writeReady.ts';
import { type CallContext, connect } from '../protocol/rpc.ts';
import { helpWith } from './helpWith.ts';
import { isStopped, type StopFlag } from './stopFlag.ts';
import type { PoolMethods, StageProgress, ThreadMethods } from './threadApi.ts';
import { threadHands } from './threadHands.ts';
import { threadTransport } from './threadTransport.ts';

/** Entry of a worker thread of the engine: one job at a time, stages one after the other. */
const port = parentPort;
if (port === null) throw new Error('partWorker runs as a worker thread only');

const pool = connect<PoolMethods, ThreadMethods>(threadTransport(port), {
  measure: job(({ request, stop }, context) =>
    measurePart(request, stageContext(stop, context), { keepMeshes: false, hashAgain: false }),
  ),
  extent: job(({ request, stop }, context) => measureExtent(request, stageContext(stop, context))),
  view: job(({ request, stop }, context) => viewPart(request, stageContext(stop, context), context.progress)),
  coarse: job(({ request, stop }, context) => coarsePart(request, stageContext(stop, context))),
  ready: job(({ request, stop }, context) => writeReady(request, stageContext(stop, context))),
  proof: job(({ request, stop }, context) => writeProof(request, stageContext(stop, context))),
  coupon: job(({ request, stop }, context) => writeCoupon(request, stageContext(stop, context))),
  readyPlate: job(({ request, stop }, context) => writePlate(request, stageContext(stop, context))),
  explain: job(({ request, stop }, context) => explainPart(request, stageContext(stop, context))),
  propose: job(({ request, stop }, context) => proposePart(request, stageContext(stop, context))),
  proposePlates: job(({ request, stop }, context) => proposeLayouts(request, stageContext(stop, context))),
  layOut: job(({ request, stop }, context) => layOutPlates(request, stageContext(stop, context))),
  joints: job(({ request, stop }, context) => measureJoints(request, stageContext(stop, context))),
  footings: job(({ request, stop }, context) => measureFootings(request, stageContext(stop, context))),
  pins: job(({ request, stop }, context) => placePins(request, stageContext(stop, context))),
  findPlace: job(({ request, stop }, context) => findPlace(request, stageContext(stop, context))),
  findWall: job(({ request, stop }, context) => findWall(request, stageContext(stop, context))),
  poses: job(({ request, stop }, context) => proposePoses(request, stageContext(stop, context))),
  split: job(({ request, stop }, context) => proposeSplit(request, stageContext(stop, context))),
  try: job(({ request, stop }, context) => tryOpening(request, stageContext(stop, context))),
  trySupport: job(({ request, stop }, context) => trySupport(request, stageContext(stop, context))),
  preheat: job(({ request, stop }, context) => preheatPart(request, stageContext(stop, context))),
  help: job((request) => helpWith(sharedTasks, request)),
});

/** Garbage of large arrays up to this may wait until the engine's thread collects it by itself. */
const patientBytes = 64 * 2 ** 20;
/** What the thread's arrays held when nothing among them was garbage, blocks shared with others included. */
let heldBytes = 0;

/** Sees to it that a job leaves no memory behind: neither garbage nor a kernel that cannot shrink. */
function job<P, C, R>(run: (params: P, context: C) => Promise<R>): (params: P, context: C) => Promise<R> {
  return async (params, context) => {
    try {
      return await run(params, context);
    } finally {
      if (solidKernelOpened()) await pool.call('spent', null);
      // After the reply has gone. An idle thread would not find out by itself that it holds garbage.
      setImmediate(collectGarbage);
    }
  };
}

/**
 * Only where there may be something to collect: afterwards a thread needs twice the time for what it
 * had learned to do fast, and edits follow each other.
 */
function collectGarbage(): void {
  const arrayBytes = (): number => process.memoryUsage().arrayBuffers;
  if (arrayBytes() - heldBytes > patientBytes) {
    collectAll?.();
    heldBytes = arrayBytes();
  }
  heldBytes = Math.min(heldBytes, arrayBytes());
}

/** There because the engine is started with `--expose-gc`. */
const collectAll = (globalThis as { gc?: () => void }).gc;

const warm: WarmShelf = {
  take: (name) => pool.call('takeWarm', { name }),
  put: (name, block) => void pool.call('putWarm', { name, block }),
};

const reportEveryMs = 50;

/** Stage names and an interrupter that looks at the shared stop flag and reports now and then. */
function stageContext(stop: StopFlag, context: CallContext<StageProgress>): StageContext {
  let last = 0;
  return {
    warm,
    hands: threadHands(
      sharedTasks,
      (team) => pool.call('lend', team),
      () => isStopped(stop),
    ),
    stage(name): Interrupter {
      context.progress({ stage: name, fraction: 0 });
      return (fraction) => {
        if (isStopped(stop)) throw new CancelledError();
        const now = performance.now();
        if (now - last < reportEveryMs) return;
        last = now;
        context.progress({ stage: name, fraction });
      };
    },
  };
}

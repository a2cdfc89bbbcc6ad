import { freemem, totalmem } from 'node:os';
import type { EngineMethods } from '../protocol/engineApi.ts';
import { connect, type RpcMessage } from '../protocol/rpc.ts';
import { check } from './check.ts';
import { coupon } from './coupon.ts';
import { explain } from './explain.ts';
import { inspect } from './inspect.ts';
import { journal } from './journal.ts';
import { kitSurfaces } from './kitSurfaces.ts';
import { layerTable } from './layerTable.ts';
import { logPrint } from './logPrint.ts';
import { makeReady } from './makeReady.ts';
import { openMemoryBudget } from './memoryBudget.ts';
import { partView } from './partView.ts';
import { proof } from './proof.ts';
import { propose } from './propose.ts';
import { proposePins } from './proposePins.ts';
import { proposePlates } from './proposePlates.ts';
import { proposePose } from './proposePose.ts';
import { proposeSplit } from './proposeSplit.ts';
import { proposeSupports } from './proposeSupports.ts';
import { readCoupon } from './readCoupon.ts';
import { record } from './record.ts';
import { openRefiner } from './refiner.ts';
import { remedy } from './remedy.ts';
import { scale } from './scale.ts';
import { schedule } from './schedule.ts';
import { startKit } from './startKit.ts';
import { tryOpening } from './tryOpening.ts';
import { trySupport } from './trySupport.ts';
import { openWorkerPool } from './workerPool.ts';

/** Entry of the engine process: one pool of threads, one memory budget, answers its parent over IPC. */
const budget = openMemoryBudget(Math.max(2 * 2 ** 30, Math.min(0.5 * totalmem(), 0.8 * freemem())));
const pool = openWorkerPool(new URL('./partWorker.mjs', import.meta.url), budget);
const refiner = openRefiner(new URL('./refineWorker.mjs', import.meta.url), budget);

connect<Record<never, never>, EngineMethods>(
  {
    send: (message) => {
      if (process.connected) process.send!(message);
    },
    listen(listener) {
      const forward = (message: unknown) => listener(message as RpcMessage);
      process.on('message', forward);
      return () => process.off('message', forward);
    },
  },
  {
    check: (params, call) => check(params, { pool, refiner, call }),
    coupon: (params, call) => coupon(params, { pool, refiner, call }),
    explain: (params, call) => explain(params, { pool, refiner, call }),
    inspect: (params, call) => inspect(params, { pool, refiner, call }),
    kitSurfaces: (params, call) => kitSurfaces(params, { pool, refiner, call }),
    layers: (params, call) => layerTable(params, { pool, refiner, call }),
    journal: (params, call) => journal(params, { pool, refiner, call }),
    logPrint: (params, call) => logPrint(params, { pool, refiner, call }),
    makeReady: (params, call) => makeReady(params, { pool, refiner, call }),
    proof: (params, call) => proof(params, { pool, refiner, call }),
    propose: (params, call) => propose(params, { pool, refiner, call }),
    readCoupon: (params) => readCoupon(params),
    record: (params, call) => record(params, { pool, refiner, call }),
    remedy: (params, call) => remedy(params, { pool, refiner, call }),
    proposePins: (params, call) => proposePins(params, { pool, refiner, call }),
    proposePlates: (params, call) => proposePlates(params, { pool, refiner, call }),
    proposePose: (params, call) => proposePose(params, { pool, refiner, call }),
    proposeSplit: (params, call) => proposeSplit(params, { pool, refiner, call }),
    proposeSupports: (params, call) => proposeSupports(params, { pool, refiner, call }),
    scale: (params, call) => scale(params, { pool, refiner, call }),
    startKit: (params) => startKit(params),
    schedule: (params, call) => schedule(params, { pool, refiner, call }),
    tryOpening: (params, call) => tryOpening(params, { pool, refiner, call }),
    trySupport: (params, call) => trySupport(params, { pool, refiner, call }),
    view: (params, call) => partView(params, { pool, refiner, call }),
  },
);

// A terminal's interrupt reaches the whole process group; the parent hears it too and cancels in order.
process.on('SIGINT', () => {});
// The parent is gone (closed window, killed command): nobody is left to work for.
process.on('disconnect', () => process.exit(0));

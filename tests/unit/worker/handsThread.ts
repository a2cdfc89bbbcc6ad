import { parentPort } from 'node:worker_threads';
import { CancelledError, type Interrupter } from '../../../src/core/interrupter.ts';
import type { Hands, Tasks, Turn } from '../../../src/pipeline/hands.ts';
import { connect } from '../../../src/protocol/rpc.ts';
import { helpWith } from '../../../src/worker/helpWith.ts';
import { isStopped } from '../../../src/worker/stopFlag.ts';
import type { PoolMethods, ThreadMethods } from '../../../src/worker/threadApi.ts';
import { threadHands } from '../../../src/worker/threadHands.ts';
import { threadTransport } from '../../../src/worker/threadTransport.ts';

/** A thread of the pool whose one job shares the task its request names. */
export interface HandsRequest {
  readonly path: string;
  readonly task: string;
  readonly parts: readonly unknown[];
  readonly times: number;
  /** Parts of the same task that are offered first and needed last, after a while of work of the job's own. */
  readonly spare: readonly unknown[] | null;
  readonly turn: Turn;
  /** The job ends without them. */
  readonly forgets: boolean;
}

let helping = false;
const busy = (ms: number, interrupter: Interrupter): void => {
  const end = performance.now() + ms;
  while (performance.now() < end) interrupter(0.5);
};

const tasks = {
  /** Tells where it ran, and by a clock that others share when. */
  square: (
    { value, input, clock }: { value: number; input: Float64Array; clock?: Int32Array },
    interrupter: Interrupter,
  ) => {
    const begun = clock && Atomics.add(clock, 0, 1);
    busy(20, interrupter);
    input[value] = begun ?? value;
    return { square: Float64Array.of(value * value), helped: helping };
  },
  /** Ends when two threads have begun a part of it: never on one thread. */
  meet: ({ seen }: { seen: Int32Array }, interrupter: Interrupter) => {
    Atomics.store(seen, helping ? 1 : 0, 1);
    while (Atomics.load(seen, 0) + Atomics.load(seen, 1) < 2) interrupter(0.5);
  },
  /** Throws in the thread that was lent, goes on for ever in the other. */
  throws: (_: unknown, interrupter: Interrupter) => {
    if (helping) throw new Error('a part failed');
    busy(10_000, interrupter);
  },
  failsAt: ({ bad }: { bad: boolean }, interrupter: Interrupter) => {
    busy(20, interrupter);
    if (bad) throw new Error('a part failed');
  },
  crashes: (_: unknown, interrupter: Interrupter) => {
    if (helping) process.exit(1);
    busy(10_000, interrupter);
  },
  endless: (_: unknown, interrupter: Interrupter) => busy(Number.POSITIVE_INFINITY, interrupter),
  deafHelper: (_: unknown, interrupter: Interrupter) => {
    busy(helping ? Number.POSITIVE_INFINITY : 30, helping ? () => {} : interrupter);
  },
  ownFails: (_: unknown, interrupter: Interrupter) => {
    busy(helping ? 10_000 : 150, interrupter);
    throw new Error('own part failed');
  },
} satisfies Tasks;

const pool = connect<PoolMethods, ThreadMethods>(threadTransport(parentPort!), {
  measure: async ({ request, stop }, context) => {
    const { task, parts, times, spare, turn, forgets } = request as unknown as HandsRequest;
    const hands = threadHands(
      tasks,
      (team) => pool.call('lend', team),
      () => isStopped(stop),
    ) as unknown as Hands<Tasks>;
    const interrupter = (fraction: number): void => {
      if (isStopped(stop)) throw new CancelledError();
      if (Math.random() < 0.001) context.progress({ stage: task, fraction });
    };
    let need = () => {};
    const needed = new Promise<void>((resolve) => {
      need = resolve;
    });
    const later = spare && hands.share(task, spare as never[], interrupter, { needed, turn });
    later?.catch(() => {});
    let results: unknown;
    for (let n = 0; n < times; n++) results = await hands.share(task, parts as never[], interrupter);
    if (later === null || forgets) return results as never;
    busy(100, interrupter);
    need();
    return (await later) as never;
  },
  extent: () => Promise.reject(new Error('not asked for')),
  view: () => Promise.reject(new Error('not asked for')),
  ready: () => Promise.reject(new Error('not asked for')),
  coarse: () => Promise.reject(new Error('not asked for')),
  proof: () => Promise.reject(new Error('not asked for')),
  explain: () => Promise.reject(new Error('not asked for')),
  propose: () => Promise.reject(new Error('not asked for')),
  joints: () => Promise.reject(new Error('not asked for')),
  pins: () => Promise.reject(new Error('not asked for')),
  footings: () => Promise.reject(new Error('not asked for')),
  findPlace: () => Promise.reject(new Error('not asked for')),
  findWall: () => Promise.reject(new Error('not asked for')),
  preheat: () => Promise.reject(new Error('not asked for')),
  coupon: () => Promise.reject(new Error('not asked for')),
  readyPlate: () => Promise.reject(new Error('not asked for')),
  proposePlates: () => Promise.reject(new Error('not asked for')),
  layOut: () => Promise.reject(new Error('not asked for')),
  poses: () => Promise.reject(new Error('not asked for')),
  split: () => Promise.reject(new Error('not asked for')),
  try: () => Promise.reject(new Error('not asked for')),
  trySupport: () => Promise.reject(new Error('not asked for')),
  help: async (request) => {
    helping = true;
    try {
      return await helpWith(tasks, request);
    } finally {
      helping = false;
    }
  },
});

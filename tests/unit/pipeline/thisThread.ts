import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Hands } from '../../../src/pipeline/hands.ts';
import { sharedTasks } from '../../../src/pipeline/sharedTasks.ts';
import type { StageContext } from '../../../src/pipeline/stageContext.ts';
import { noShelf } from '../../../src/pipeline/warmShelf.ts';

/** Shared work done here, part after part. */
export const hands: Hands = {
  share: async (task, parts, interrupter) =>
    parts.map((part) => sharedTasks[task](part as never, interrupter)) as never,
};

/** A job of this thread that nobody watches and that finds nothing in memory. */
export const thisThread: StageContext = { stage: () => uninterrupted, hands, warm: noShelf };

import { startEngine } from '../../src/worker/engineClient.ts';
import type { Timed } from './timing.ts';

/** Rows of the table, each from the start of one stage of a check to that of another. */
const spans = [
  { stage: 'read + weld + report, in a check', from: 'reading', to: 'mending' },
  { stage: 'hollow, in a check', from: 'hollowing', to: 'reading layers' },
  { stage: 'layers and walls, in a check', from: 'reading layers', to: 'reckoning loads' },
] as const;

/** What a cold check of a kit of one part spends on its main stages, as the engine tells its progress. */
export async function checkStages(kitDir: string): Promise<Timed[]> {
  const engine = startEngine('dist/engine.mjs');
  const begun = new Map<string, number>();
  try {
    await engine.call(
      'check',
      { kitDir, manifestText: null, parts: null, noCache: true },
      {
        onProgress: (progress) => {
          if (progress.kind === 'stage' && !begun.has(progress.stage))
            begun.set(progress.stage, performance.now());
        },
      },
    );
  } finally {
    engine.dispose();
  }
  return spans.map(({ stage, from, to }) => {
    const [start, end] = [begun.get(from), begun.get(to)];
    if (start === undefined || end === undefined)
      throw new Error(`the check has not told of ${from} or ${to}`);
    return { stage, ms: end - start, cpuMs: null, peakMiB: null };
  });
}

import { createHash } from 'node:crypto';
import { portion } from '../core/interrupter.ts';
import { layOutPlate, type PlateLayout, type PlateTask } from '../core/plates/layOutPlate.ts';
import { openStageCache, stageKey } from './stageCache.ts';
import type { StageContext } from './stageContext.ts';

/** Plates of a kit to be laid out, whose parts have been measured. Plain data. */
export interface PlatesRequest {
  /** Absolute path of the manifest: plates of one kit are laid out in turn. */
  readonly path: string;
  readonly kitDir: string;
  /** False: write the cache but do not read it. */
  readonly readCache: boolean;
  readonly tasks: readonly PlateTask[];
}

/** The layouts that are kept, in the order of the tasks; null for each that must be made. */
export async function keptLayouts({
  kitDir,
  readCache,
  tasks,
}: PlatesRequest): Promise<(PlateLayout | null)[]> {
  const cache = openStageCache(kitDir, readCache);
  const kept = tasks.map((task) => cache.read('plate', layoutKey(task)));
  return (await Promise.all(kept)) as (PlateLayout | null)[];
}

export async function layOutPlates(
  { kitDir, tasks }: PlatesRequest,
  context: StageContext,
): Promise<PlateLayout[]> {
  const cache = openStageCache(kitDir, false);
  const interrupter = context.stage('arranging');
  const layouts: PlateLayout[] = [];
  for (const [n, task] of tasks.entries()) {
    const layout = layOutPlate(task, portion(interrupter, n / tasks.length, (n + 1) / tasks.length));
    await cache.write('plate', layoutKey(task), layout);
    layouts.push(layout);
  }
  return layouts;
}

function layoutKey({ room, gapMm, parts }: PlateTask): string {
  const shapes = parts.map(({ footprint, at, spin }) => {
    const { start, ends, ...lattice } = footprint;
    return [lattice, createHash('sha256').update(start).update(ends).digest('hex'), at, spin];
  });
  return stageKey('plate', [room, gapMm, shapes]);
}

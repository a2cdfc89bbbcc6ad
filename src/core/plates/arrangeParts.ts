import { type Interrupter, portion } from '../interrupter.ts';
import { arrangeOnce, type Way } from './arrangeOnce.ts';
import { footprintArea } from './footprint.ts';
import type { PlateTask } from './layOutPlate.ts';
import type { Place } from './place.ts';

/**
 * A place for every part, tried in several ways until all have one; else of the way that places most. The ways
 * of `quarters` come first, so that what fits with them alone stands the same with `any`.
 */
export function arrangeParts(
  task: PlateTask,
  spins: 'quarters' | 'any',
  interrupter: Interrupter,
): (Place | null)[] {
  const fixed = task.parts.map(({ at, spin }): Place | null =>
    at === null ? null : { at, spin: spin ?? 0 },
  );
  const area = task.parts.reduce((sum, { footprint }) => sum + footprintArea(footprint), 0);
  // No way of arranging them helps then.
  const all = spins === 'any' ? [...ways(quarters), ...ways(finer)] : ways(quarters);
  const tried = area > task.room[0] * task.room[1] ? all.slice(0, 1) : all;
  let best = fixed;
  for (const [n, way] of tried.entries()) {
    const places = arrangeOnce(
      task,
      fixed,
      way,
      portion(interrupter, n / tried.length, (n + 1) / tried.length),
    );
    if (n === 0 || placed(places) > placed(best)) best = places;
    if (placed(best) === best.length) break;
  }
  return best;
}

const placed = (places: readonly (Place | null)[]): number => places.filter((place) => place !== null).length;

const quarters = [0, 90, 180, 270];
const finer = Array.from({ length: 24 }, (_, n) => 15 * n).sort((a, b) => (a % 90) - (b % 90) || a - b);

const ways = (spins: readonly number[]): Way[] =>
  (['area', 'length'] as const).flatMap((order) =>
    (['y', 'x'] as const).map((along) => ({ spins, order, along })),
  );

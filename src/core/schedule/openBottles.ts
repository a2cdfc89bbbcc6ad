import type { ScheduledPrint } from './schedulePrints.ts';

/** A bottle of the print's own resin that must be at hand. */
export interface OpenedBottle {
  /** In the manifest's list, from 0. */
  readonly bottle: number;
  readonly ml: number;
  /** Poured before this layer; null = into the vat before the print starts. */
  readonly layer: number | null;
}

type Poured = Pick<ScheduledPrint, 'filledMl'> & {
  readonly job: Pick<ScheduledPrint['job'], 'resin'>;
  readonly resin: Pick<ScheduledPrint['resin'], 'atStartMl'>;
  readonly topUps: readonly Pick<ScheduledPrint['topUps'][number], 'layer' | 'pourMl'>[];
};

/** Less than this in a bottle is none, ml. */
const NONE_ML = 1e-6;

/**
 * Which bottles each print opens, one after the other in the order of the list, the first being open. A bottle is opened where
 * what has gone into the vat so far is more than the ones before held; what stays in the vat goes back. `bottlesOf`: ml of each
 * bottle of a resin.
 */
export function openBottles(
  prints: readonly Poured[],
  bottlesOf: (resin: string) => readonly number[],
): readonly (readonly OpenedBottle[])[] {
  const openOf = new Map<string, number>();
  return prints.map(({ job, resin, filledMl, topUps }) => {
    const bottles = bottlesOf(job.resin);
    if (resin.atStartMl === null || bottles.length === 0) return [];
    const opened: OpenedBottle[] = [];
    let poured = sumOf(bottles) - resin.atStartMl;
    let open = openOf.get(job.resin) ?? 1;
    const pour = (ml: number, layer: number | null): void => {
      poured += ml;
      while (open < bottles.length && poured > sumOf(bottles.slice(0, open)) + NONE_ML) {
        opened.push({ bottle: open, ml: bottles[open]!, layer });
        open++;
      }
    };
    pour(filledMl, null);
    for (const { pourMl, layer } of topUps) pour(pourMl, layer);
    openOf.set(job.resin, open);
    return opened;
  });
}

const sumOf = (bottles: readonly number[]): number => bottles.reduce((sum, ml) => sum + ml, 0);

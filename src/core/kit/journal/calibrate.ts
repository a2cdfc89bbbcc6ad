import { cameOut, heldLess, type LayerPull, type PrintEntry } from './journal.ts';

/** What the prints say of one number of the manifest. Nothing is changed by it: the builder takes it over, or not. */
export interface Calibration {
  readonly key: 'film.peel' | 'limits.pull';
  readonly unit: 'kPa' | 'N';
  readonly current: number;
  /** Prints that came out and say that it is no more, and prints that came off and say that it is no less. */
  readonly good: number;
  readonly failed: number;
  /** The highest figure that a print which came off leaves, and the lowest of those that came out; null where none says so. */
  readonly atLeast: number | null;
  readonly atMost: number | null;
  /** What three prints that came out show together; null with fewer. */
  readonly byThree: number | null;
  readonly contradicts: boolean;
  /** To be taken over; null where the prints give no reason for another number. */
  readonly proposed: number | null;
  readonly why: string;
}

/**
 * One good print may have been lucky, so a number is made less careful only by the third; one that came off is
 * reason enough to be more careful. No step is larger than a factor of two. Engineering choice, no source.
 */
export const printsToRelax = 3;
const largestStep = 2;
/** An atmosphere. */
const mostPeelKpa = 101.325;

/**
 * The peel pressure, in bounds. A print that came out was held in its weakest layer: peel there was no more than what
 * holds it less the suction. One that came off was not, in the layer told, or else in its weakest; it counts where that
 * let go of which the hold is known (`heldLess`). What holds is as reckoned from green strength and plate hold, so the
 * bounds are as good as those.
 */
export function calibratePeel(prints: readonly PrintEntry[], current: number): Calibration {
  const most = boundsOf(prints, held, ({ weakest }) => weakest);
  const least = boundsOf(prints, heldLess, ({ failed, weakest }) => failed ?? weakest);
  return judged('film.peel', 'kPa', current, most, least, mostPeelKpa);
}

/**
 * The pull that a layer may have. Prints that came out bore their peak; those that came off, though they were reckoned
 * to hold, did not bear the layer told, or else their peak. Only prints that were reckoned with the peel pressure of now
 * count: others pulled otherwise.
 */
export function calibratePull(prints: readonly PrintEntry[], current: number, peelKpa: number): Calibration {
  const alike = prints.filter(
    ({ figures }) => figures !== null && Math.abs(figures.peel_kpa - peelKpa) < 0.01 * peelKpa,
  );
  const pulls = (
    which: (print: PrintEntry) => boolean,
    at: (figures: Figures) => LayerPull,
    tells: (layer: LayerPull) => boolean = () => true,
  ): number[] =>
    alike.flatMap((print) => {
      const layer = at(print.figures!);
      return which(print) && tells(layer) ? [layer.pull_n] : [];
    });
  return judgedLimit(
    current,
    pulls(held, ({ peak }) => peak),
    pulls(
      heldLess,
      ({ failed, peak }) => failed ?? peak,
      ({ holds }) => holds !== null && holds >= 1,
    ),
  );
}

const held = ({ result }: PrintEntry): boolean => cameOut(result);

type Figures = NonNullable<PrintEntry['figures']>;

function boundsOf(
  prints: readonly PrintEntry[],
  which: (print: PrintEntry) => boolean,
  at: (figures: Figures) => LayerPull | null,
): number[] {
  return prints.flatMap((print) => {
    const { figures } = print;
    const layer = figures !== null && which(print) ? at(figures) : null;
    const bound = layer === null ? null : peelBound(layer, figures!.peel_kpa);
    return bound === null ? [] : [bound];
  });
}

/** Suction that may be in a layer which tells of the peel, as a share of its pull. Engineering choice, no source. */
const mostSuction = 0.1;

/**
 * The peel pressure, kPa, with which what holds a layer would just be enough. Null where a cup pulls there: its
 * suction is an upper bound, and what is left of it would say nothing.
 */
export function peelBound(
  { pull_n, area_mm2, holds }: Omit<LayerPull, 'layer'>,
  reckonedKpa: number,
): number | null {
  if (holds === null || !(area_mm2 > 0) || !(pull_n > 0)) return null;
  const suctionN = Math.max(0, pull_n - reckonedKpa * area_mm2 * 1e-3);
  if (suctionN > mostSuction * pull_n) return null;
  return Math.max(0, (holds * pull_n - suctionN) / (area_mm2 * 1e-3));
}

function judged(
  key: Calibration['key'],
  unit: Calibration['unit'],
  current: number,
  most: readonly number[],
  least: readonly number[],
  ceiling: number,
): Calibration {
  const rising = [...most].sort((a, b) => a - b);
  const atMost = rising[0] ?? null;
  const byThree = rising[printsToRelax - 1] ?? null;
  const atLeast = least.length === 0 ? null : Math.max(...least);
  const contradicts = atLeast !== null && atMost !== null && atLeast > atMost;
  const base = {
    key,
    unit,
    current,
    good: most.length,
    failed: least.length,
    atLeast,
    atMost,
    byThree,
    contradicts,
  };
  const keep = (why: string): Calibration => ({ ...base, proposed: null, why });
  if (most.length + least.length === 0)
    return keep('No print tells: each needs figures, and something of which is known what it holds.');
  if (atLeast !== null && byThree !== null && atLeast > byThree)
    return keep(
      'Prints contradict each other: what came out should have come off. Something else was the cause, or what holds is not as reckoned.',
    );
  // Rounded first, then bounded: what rounds to the number that stands, or past it, is no reason to change it.
  const raised = atLeast === null ? current : Math.min(upTo2(atLeast), largestStep * current, ceiling);
  if (raised > current)
    return {
      ...base,
      proposed: raised,
      why: 'A print came off that should have held: the film pulls more than that.',
    };
  const lowered = byThree === null ? current : Math.max(upTo2(byThree), current / largestStep);
  if (lowered < current)
    return {
      ...base,
      proposed: lowered,
      why: `${printsToRelax} prints held that would have come off if the film pulled more.`,
    };
  if (atMost !== null && atMost < current) {
    const saying = most.filter((bound) => bound < current).length;
    return keep(`${saying} of the ${printsToRelax} good prints that it takes to come down say so.`);
  }
  return keep('The prints agree with the number that stands.');
}

function judgedLimit(current: number, good: readonly number[], failed: readonly number[]): Calibration {
  const falling = [...good].sort((a, b) => b - a);
  const borne = falling[0] ?? null;
  const borneByThree = falling[printsToRelax - 1] ?? null;
  const failedAt = failed.length === 0 ? null : Math.min(...failed);
  const base = {
    key: 'limits.pull',
    unit: 'N',
    current,
    good: good.length,
    failed: failed.length,
    atLeast: borne,
    atMost: failedAt,
    byThree: borneByThree,
    contradicts: borne !== null && failedAt !== null && borne > failedAt,
  } as const;
  const keep = (why: string): Calibration => ({ ...base, proposed: null, why });
  if (good.length + failed.length === 0)
    return keep('No print tells: none was reckoned with the peel pressure that stands.');
  if (failedAt !== null && borneByThree !== null && borneByThree > failedAt)
    return keep(
      'Prints contradict each other: three bore more than one that came off. Its cause lies elsewhere.',
    );
  const lowered = failedAt === null ? current : Math.max(downTo2(failedAt), current / largestStep);
  if (lowered < current) return { ...base, proposed: lowered, why: 'A print came off at that pull.' };
  const raised = borneByThree === null ? current : Math.min(downTo2(borneByThree), largestStep * current);
  if (raised > current)
    return {
      ...base,
      proposed: raised,
      why: `${printsToRelax} prints bore that much, or more.`,
    };
  if (borne !== null && borne > current)
    return keep(`It takes ${printsToRelax} good prints above it to go up.`);
  return keep('The prints agree with the number that stands.');
}

/** Two digits, never past the figure in the careless direction. */
const upTo2 = (value: number): number => twoDigits(value, Math.ceil);
const downTo2 = (value: number): number => twoDigits(value, Math.floor);

function twoDigits(value: number, round: (value: number) => number): number {
  if (!(value > 0)) return 0;
  const unit = 10 ** (Math.floor(Math.log10(value)) - 1);
  return Number((round(value / unit - (round === Math.ceil ? 1e-9 : -1e-9)) * unit).toPrecision(3));
}

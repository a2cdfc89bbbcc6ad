import type { Manifest } from '../manifest.ts';
import { roundTo } from '../rounding.ts';
import { type Calibration, calibratePeel, calibratePull } from './calibrate.ts';
import { type PrintEntry, type PrintResult, printResults } from './journal.ts';
import { nearestPrints, type PrintLike } from './nearestPrints.ts';

/** What a journal answers. */
export interface JournalReport {
  readonly prints: number;
  readonly results: Readonly<Partial<Record<PrintResult, number>>>;
  /** Prints of about the size and pull of the part asked about; null where none was. */
  readonly near: NearReport | null;
  readonly calibrations: readonly Calibration[];
}

export interface NearReport {
  readonly part: string;
  readonly size_mm: PrintLike['size_mm'];
  readonly pull_n: number;
  readonly came_out: number;
  /** Share of such prints that may fail, as far as these tell; null where none is near. */
  readonly may_fail_share: number | null;
  /** The nearest first. */
  readonly prints: readonly (PrintEntry & { readonly times: number })[];
}

export function journalReport(
  prints: readonly PrintEntry[],
  { film, limits }: Manifest,
  asked: (PrintLike & { readonly part: string }) | null,
): JournalReport {
  const counts = printResults.map((result) => [
    result,
    prints.filter((print) => print.result === result).length,
  ]);
  return {
    prints: prints.length,
    results: Object.fromEntries(counts.filter(([, count]) => count !== 0)),
    near: asked && nearReport(prints, asked),
    calibrations: [calibratePeel(prints, film.peel), calibratePull(prints, limits.pull, film.peel)].map(
      rounded,
    ),
  };
}

function nearReport(
  prints: readonly PrintEntry[],
  { part, ...like }: PrintLike & { readonly part: string },
): NearReport {
  const { near, cameOut, mayFailShare } = nearestPrints(prints, like);
  return {
    part,
    size_mm: like.size_mm,
    pull_n: like.pull_n,
    came_out: cameOut,
    may_fail_share: mayFailShare === null ? null : roundTo(mayFailShare, 3),
    prints: near.map(({ entry, times }) => ({ ...entry, times: roundTo(times, 2) })),
  };
}

const rounded = (calibration: Calibration): Calibration => {
  const round = (value: number | null): number | null => (value === null ? null : roundTo(value, 2));
  const { atLeast, atMost, byThree } = calibration;
  return { ...calibration, atLeast: round(atLeast), atMost: round(atMost), byThree: round(byThree) };
};

import { cameOut, type PrintEntry } from './journal.ts';

/** Of the part that is asked about, as it is reckoned now. */
export interface PrintLike {
  readonly size_mm: readonly [number, number, number];
  readonly pull_n: number;
}

export interface NearPrint {
  readonly entry: PrintEntry;
  /** How many times larger or smaller it was, sides and pull taken together; 1 = the same. */
  readonly times: number;
}

export interface NearPrints {
  /** Within a factor of two, the nearest first. */
  readonly near: readonly NearPrint[];
  readonly cameOut: number;
  /** What is no fewer of such prints may fail, as far as these tell with 95 % certainty; null where none is near. */
  readonly mayFailShare: number | null;
}

/** Further than that a print says little of another. Engineering choice, no source. */
const nearTimes = 2;
/** Pulls under this, N, are as good as one another. */
const leastPullN = 5;

/** Prints of about the size and the pull of a part, by the ratio of both. */
export function nearestPrints(prints: readonly PrintEntry[], like: PrintLike): NearPrints {
  const near = prints
    .flatMap((entry): NearPrint[] => {
      const { figures } = entry;
      if (figures === null) return [];
      return [{ entry, times: timesApart(like, { size_mm: figures.size_mm, pull_n: figures.peak.pull_n }) }];
    })
    .filter(({ times }) => times <= nearTimes)
    // Of two as near, the later one: the machine is as it was then.
    .reverse()
    .sort((a, b) => a.times - b.times);
  const good = near.filter(({ entry }) => cameOut(entry.result)).length;
  return {
    near,
    cameOut: good,
    mayFailShare: near.length === 0 ? null : mostFailing(near.length - good, near.length),
  };
}

function timesApart(a: PrintLike, b: PrintLike): number {
  const side = ({ size_mm: [x, y, z] }: PrintLike): number => Math.cbrt(Math.max(x * y * z, 1e-9));
  const pull = ({ pull_n }: PrintLike): number => Math.max(pull_n, leastPullN);
  return Math.exp(Math.hypot(Math.log(side(a) / side(b)), Math.log(pull(a) / pull(b))));
}

/**
 * The largest share of failures with which so few among so many would still be seen one time in twenty: the upper
 * bound of Clopper and Pearson 1934, one-sided, 95 %. Without a failure it is 1 − 0.05^(1/n).
 */
export function mostFailing(failures: number, prints: number): number {
  if (failures >= prints) return 1;
  let [low, high] = [failures / prints, 1];
  for (let halving = 0; halving < 60; halving++) {
    const share = (low + high) / 2;
    if (atMost(failures, prints, share) > 0.05) low = share;
    else high = share;
  }
  return high;
}

/** Probability of no more than so many of n, each as likely as the share. */
function atMost(most: number, n: number, share: number): number {
  let term = (1 - share) ** n;
  let sum = term;
  for (let k = 1; k <= most; k++) {
    term *= ((n - k + 1) / k) * (share / (1 - share));
    sum += term;
  }
  return sum;
}

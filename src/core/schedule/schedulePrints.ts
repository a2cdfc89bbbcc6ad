import type { Manifest } from '../kit/manifest.ts';
import { printTime } from '../physics/printTime.ts';
import { isAttended, nextAttended } from './attendance.ts';
import { drawResin, leastVatMl, type ResinDraw, resinNamed, stockOf } from './drawResin.ts';
import type { PrintJob } from './printJobs.ts';
import { type TimedPour, type TopUps, timePours, waysToTopUp } from './topUps.ts';

/** One print in its place. Hours are counted from a midnight. */
export interface ScheduledPrint {
  readonly job: PrintJob;
  readonly resin: ResinDraw;
  /** Null where a resin of it has no price. */
  readonly cost: number | null;
  readonly startHours: number;
  readonly endHours: number;
  readonly endAttended: boolean;
  /** What is in the vat as it starts. */
  readonly filledMl: number;
  readonly topUps: readonly ScheduledPour[];
  /** False where no number of pours that anyone would do keeps the vat from running low. */
  readonly vatSuffices: boolean;
}

export interface ScheduledPour extends TimedPour {
  readonly pourMl: number;
  /** Since the print started, and from the midnight. */
  readonly intoHours: number;
  readonly atHours: number;
}

/** Starts are looked for at full quarters of an hour, a day ahead. */
const stepHours = 0.25;

/**
 * Prints one after the other on one machine, in their order: each starts when somebody is there and the one before is
 * cleared away, as early as it can end, and be topped up, while somebody is there. Where no start of a day does both,
 * the fewest pours fall into hours when nobody is, and then it may end in them.
 */
export function schedulePrints(
  jobs: readonly PrintJob[],
  manifest: Manifest,
  startHours: number,
): readonly ScheduledPrint[] {
  const { attendance } = manifest;
  let stock = stockOf(manifest);
  let free = startHours;
  const waysOf = oncePerFill((takenMm3, filledMl) =>
    waysToTopUp(takenMm3, filledMl * 1000, vatRoom(manifest)),
  );
  return jobs.map((job) => {
    const resin = drawResin(job, stock, manifest);
    stock = resin.left;
    const filledMl = fillOf(resin, manifest);
    const ways = waysOf(job.takenMm3, filledMl);
    const bottleMl = Math.max(0, (resin.atStartMl ?? Number.POSITIVE_INFINITY) - filledMl);
    const best = bestStart({ job, ways: ways ?? [], bottleMl }, nextAttended(free, attendance), manifest);
    free = nextAttended(best.endHours, attendance) + attendance.changeoverMin / 60;
    return { job, resin, cost: costOf(resin, manifest), ...best, filledMl, vatSuffices: ways !== null };
  });
}

type Ways = ReturnType<typeof waysToTopUp>;
type WaysOf = (takenMm3: PrintJob['takenMm3'], filledMl: number) => Ways;

/** Copies of a part take the same of the same vat: a thousand of them are reckoned once. */
function oncePerFill(reckon: WaysOf): WaysOf {
  const known = new Map<PrintJob['takenMm3'], Map<number, Ways>>();
  return (takenMm3, filledMl) => {
    const byFill = known.get(takenMm3) ?? new Map<number, Ways>();
    known.set(takenMm3, byFill);
    const ways = byFill.has(filledMl) ? byFill.get(filledMl)! : reckon(takenMm3, filledMl);
    byFill.set(filledMl, ways);
    return ways;
  };
}

/** Full, or all that is left; what would not even cover the film is bought anew before the start. */
function fillOf({ atStartMl }: ResinDraw, manifest: Manifest): number {
  const { vat } = manifest.machine;
  return atStartMl === null || atStartMl <= leastVatMl(manifest) ? vat : Math.min(vat, atStartMl);
}

const vatRoom = (manifest: Manifest) => ({
  fullMm3: manifest.machine.vat * 1000,
  leastMm3: leastVatMl(manifest) * 1000,
});

function costOf({ draws }: ResinDraw, manifest: Manifest): number | null {
  return draws.reduce<number | null>((sum, { resin, ml }) => {
    const { price } = resinNamed(manifest, resin);
    return sum === null || price === null ? null : sum + (ml / 1000) * price;
  }, 0);
}

interface Pouring {
  readonly job: PrintJob;
  readonly ways: readonly TopUps[];
  /** Its own resin beside the vat as it starts. */
  readonly bottleMl: number;
}

type Timed = Pick<ScheduledPrint, 'startHours' | 'endHours' | 'endAttended' | 'topUps'>;

function bestStart(pouring: Pouring, earliest: number, manifest: Manifest): Timed {
  let best: Timed | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (let step = 0; step * stepHours <= 24; step++) {
    const start = step === 0 ? earliest : (Math.floor(earliest / stepHours) + step) * stepHours;
    if (!isAttended(start, manifest.attendance)) continue;
    const timed = timedFrom(pouring, start, manifest);
    const missed = 2 * missedPours(timed.topUps) + (timed.endAttended ? 0 : 1);
    if (missed < least) [best, least] = [timed, missed];
    if (least === 0) break;
  }
  return best!;
}

function timedFrom(
  { job: { layers }, ways, bottleMl }: Pouring,
  startHours: number,
  { machine, attendance }: Manifest,
): Timed {
  const into = (layer: number): number => printTime(layer, machine.lift, machine.exposure) / 3600;
  const attendedBefore = (layer: number): boolean => isAttended(startHours + into(layer), attendance);
  let topUps: readonly ScheduledPour[] = [];
  for (const [n, { pourMm3, windows }] of ways.entries()) {
    const isOther = (pour: number): boolean => ((pour + 1) * pourMm3) / 1000 > bottleMl + 1e-6;
    const timed = timePours(windows, attendedBefore, isOther).map((pour) => ({
      ...pour,
      pourMl: pourMm3 / 1000,
      intoHours: into(pour.layer),
      atHours: startHours + into(pour.layer),
    }));
    if (n === 0 || missedPours(timed) < missedPours(topUps)) topUps = timed;
  }
  const endHours = startHours + into(layers);
  return { startHours, endHours, endAttended: isAttended(endHours, attendance), topUps };
}

const missedPours = (pours: readonly TimedPour[]): number => pours.filter(({ attended }) => !attended).length;

import type { Manifest } from '../kit/manifest.ts';
import { assumedResin } from '../kit/partResin.ts';
import { roundTo } from '../kit/rounding.ts';
import { stockOf } from './drawResin.ts';
import { type OpenedBottle, openBottles } from './openBottles.ts';
import type { PrintJobs } from './printJobs.ts';
import type { ScheduledPour, ScheduledPrint } from './schedulePrints.ts';
import { mostTopUps } from './topUps.ts';

/** `schedule --json`. Hours count from the midnight before the first start; clock times only where a day was named. */
export interface ScheduleReport {
  readonly kit: string;
  readonly attended_h: readonly [number, number];
  readonly changeover_min: number;
  readonly prints: readonly PrintReport[];
  readonly left_out: readonly { readonly name: string; readonly why: string }[];
  readonly resins: Readonly<Record<string, ResinReport>>;
  /** Of printing; from the first start to the last end. */
  readonly hours: number;
  readonly span_h: number;
  /** Null where a resin that is used has no price. */
  readonly cost: number | null;
}

export interface PrintReport {
  readonly kind: 'plate' | 'part';
  readonly name: string;
  readonly parts: readonly string[];
  readonly copy: { readonly number: number; readonly of: number; readonly mirrored: boolean } | null;
  readonly resin: string;
  readonly layers: number;
  readonly hours: number;
  readonly start_h: number;
  readonly end_h: number;
  /** As on a wall clock, `2026-11-30T08:00`. */
  readonly start: string | null;
  readonly end: string | null;
  readonly ends_attended: boolean;
  readonly liquid_ml: number;
  /** Part of the liquid. */
  readonly supports_ml: number;
  readonly held_ml: number;
  readonly waste_ml: number;
  /** Liquid, held resin and waste. */
  readonly used_ml: number;
  readonly cost: number | null;
  /** Of its own resin, bottles and vat together; null where nobody told how much there is. */
  readonly left_ml: number | null;
  readonly filled_ml: number;
  readonly top_ups: readonly PourReport[];
  /** Of its own resin, in the order in which they are opened; none where one is open already. `before_layer` null: before it starts. */
  readonly bottles: readonly {
    readonly number: number;
    readonly of: number;
    readonly ml: number;
    readonly before_layer: number | null;
    readonly z_mm: number | null;
  }[];
  readonly resin_change: { readonly layer: number; readonly z_mm: number; readonly to: string | null } | null;
  readonly notes: readonly string[];
}

export interface PourReport {
  /** Done best before this layer is printed, and at any time between the two others. */
  readonly before_layer: number;
  readonly from_layer: number;
  readonly by_layer: number;
  readonly z_mm: number;
  readonly into_h: number;
  readonly at_h: number;
  readonly at: string | null;
  readonly attended: boolean;
  readonly pour_ml: number;
  /** What of it is no longer of the print's own resin. */
  readonly of_other_ml: number;
}

export interface ResinReport {
  readonly on_hand_ml: number | null;
  /** Each of them, where they were told one by one. */
  readonly bottles_ml: readonly number[];
  readonly used_ml: number;
  /** Below 0: short. */
  readonly left_ml: number | null;
  readonly cost: number | null;
}

/** `midnightMs`: wall-clock milliseconds of the midnight from which hours are counted; null = no day was named. */
export function scheduleReport(
  manifest: Manifest,
  { left }: PrintJobs,
  prints: readonly ScheduledPrint[],
  midnightMs: number | null,
): ScheduleReport {
  const { fromHour, toHour, changeoverMin } = manifest.attendance;
  const costs = prints.map(({ cost }) => cost);
  const opened = openBottles(prints, (resin) => manifest.resins.get(resin)?.bottles ?? []);
  return {
    kit: manifest.kit,
    attended_h: [fromHour, toHour],
    changeover_min: changeoverMin,
    prints: prints.map((print, n) => printReport(print, opened[n]!, manifest, midnightMs)),
    left_out: left,
    resins: resinReports(manifest, prints),
    hours: roundTo(
      prints.reduce((sum, { startHours, endHours }) => sum + endHours - startHours, 0),
      2,
    ),
    span_h: roundTo((prints.at(-1)?.endHours ?? 0) - (prints[0]?.startHours ?? 0), 2),
    cost: sumOf(costs),
  };
}

const ml = (value: number): number => roundTo(value, 1);

function sumOf(costs: readonly (number | null)[]): number | null {
  const known = costs.filter((cost) => cost !== null);
  return known.length < costs.length
    ? null
    : roundTo(
        known.reduce((sum, cost) => sum + cost, 0),
        2,
      );
}

function printReport(
  print: ScheduledPrint,
  opened: readonly OpenedBottle[],
  manifest: Manifest,
  midnightMs: number | null,
): PrintReport {
  const { job, resin, startHours, endHours } = print;
  const left = resin.left.get(job.resin);
  return {
    kind: job.kind,
    name: job.name,
    parts: job.parts,
    copy: job.copy,
    resin: job.resin,
    layers: job.layers,
    hours: roundTo(endHours - startHours, 2),
    start_h: roundTo(startHours, 2),
    end_h: roundTo(endHours, 2),
    start: wallClock(startHours, midnightMs),
    end: wallClock(endHours, midnightMs),
    ends_attended: print.endAttended,
    liquid_ml: ml(job.liquidMm3 / 1000),
    supports_ml: ml(job.supportsMm3 / 1000),
    held_ml: ml(job.heldMm3 / 1000),
    waste_ml: ml(resin.wasteMl),
    used_ml: ml(resin.usedMl),
    cost: print.cost === null ? null : roundTo(print.cost, 2),
    left_ml: left === undefined ? null : ml(left),
    filled_ml: ml(print.filledMl),
    top_ups: pourReports(print, manifest, midnightMs),
    bottles: opened.map(({ bottle, ml: size, layer }) => ({
      number: bottle + 1,
      of: manifest.resins.get(job.resin)!.bottles.length,
      ml: ml(size),
      before_layer: layer,
      z_mm: layer === null ? null : roundTo(layer * manifest.machine.layer, 3),
    })),
    resin_change: resin.change && {
      layer: resin.change.layer,
      z_mm: roundTo(resin.change.layer * manifest.machine.layer, 3),
      to: resin.change.to,
    },
    notes: notesOf(print, manifest),
  };
}

function pourReports(
  { topUps, resin, filledMl }: ScheduledPrint,
  { machine }: Manifest,
  midnightMs: number | null,
): PourReport[] {
  let bottle = Math.max(0, (resin.atStartMl ?? Number.POSITIVE_INFINITY) - filledMl);
  return topUps.map(({ layer, fromLayer, byLayer, intoHours, atHours, attended, pourMl }: ScheduledPour) => {
    const own = Math.min(bottle, pourMl);
    bottle -= own;
    return {
      before_layer: layer,
      from_layer: fromLayer,
      by_layer: byLayer,
      z_mm: roundTo(layer * machine.layer, 3),
      into_h: roundTo(intoHours, 2),
      at_h: roundTo(atHours, 2),
      at: wallClock(atHours, midnightMs),
      attended,
      pour_ml: ml(pourMl),
      of_other_ml: ml(pourMl - own),
    };
  });
}

function notesOf(
  { job, topUps, endAttended, vatSuffices, resin }: ScheduledPrint,
  manifest: Manifest,
): string[] {
  const { height, layer } = manifest.machine;
  return [
    ...(job.otherResins.length === 0
      ? []
      : [
          `Parts of this plate ask for ${job.otherResins.join(', ')} as well; one vat holds one resin, and ${job.resin} is taken for all.`,
        ]),
    ...(job.layers * layer > height + 1e-6 ? ['It is taller than the machine prints.'] : []),
    ...(vatSuffices
      ? []
      : [
          `The vat runs low more than ${mostTopUps} times, or has nothing to give above its least safe level.`,
        ]),
    ...(topUps.some(({ attended }) => !attended)
      ? ['A top-up falls into hours in which nobody is there, whenever of a day it starts.']
      : []),
    ...(endAttended ? [] : ['It ends in hours in which nobody is there, whenever of a day it starts.']),
    ...(resin.atStartMl !== null && resin.atStartMl < resin.usedMl && resin.change === null
      ? [`There is not enough ${job.resin} for it.`]
      : []),
  ];
}

function resinReports(manifest: Manifest, prints: readonly ScheduledPrint[]): Record<string, ResinReport> {
  const stock = stockOf(manifest);
  const used = new Map<string, number>();
  for (const { resin } of prints)
    for (const draw of resin.draws) used.set(draw.resin, (used.get(draw.resin) ?? 0) + draw.ml);
  const names = [...manifest.resins.keys(), ...(used.has(assumedResin.name) ? [assumedResin.name] : [])];
  return Object.fromEntries(
    names.map((name): [string, ResinReport] => {
      const usedMl = used.get(name) ?? 0;
      const onHand = stock.get(name) ?? null;
      const { price = null, bottles = [] } = manifest.resins.get(name) ?? {};
      return [
        name,
        {
          on_hand_ml: onHand,
          bottles_ml: bottles.length > 1 ? bottles.map(ml) : [],
          used_ml: ml(usedMl),
          left_ml: onHand === null ? null : ml(onHand - usedMl),
          cost: price === null ? null : roundTo((usedMl / 1000) * price, 2),
        },
      ];
    }),
  );
}

const hourMs = 3_600_000;

/** Summer time is not counted: an hour by this clock is an hour. */
function wallClock(hours: number, midnightMs: number | null): string | null {
  if (midnightMs === null) return null;
  const minutes = Math.round(hours * 60);
  return new Date(midnightMs + minutes * (hourMs / 60)).toISOString().slice(0, 16);
}

import { type Interrupter, portion } from '../interrupter.ts';
import { arrangeParts } from './arrangeParts.ts';
import { type Border, borderPoints } from './borderPoints.ts';
import type { Footprint } from './footprint.ts';
import { isQuarterTurn, type Place, type Point } from './place.ts';
import { spunBounds } from './plateCells.ts';
import { liesOver, plateGap } from './plateGap.ts';

/** A part that is to stand on a plate, and what the builder says of where. */
export interface PlatedFootprint {
  readonly footprint: Footprint;
  /** Null = wherever there is room. */
  readonly at: Point | null;
  /** Null = however it fits; 0 where `at` is given. */
  readonly spin: number | null;
}

export interface PlateTask {
  /** x and y of the plate, its margin taken off, mm. */
  readonly room: readonly [number, number];
  /** mm between parts. */
  readonly gapMm: number;
  readonly parts: readonly PlatedFootprint[];
}

export interface PlateLayout {
  /** In the order of the parts; null for one that finds no room. */
  readonly places: readonly (Place | null)[];
  /** The two parts that stand nearest to each other; null where fewer than two stand. */
  readonly nearest: PairGap | null;
  /** Those that the builder has put too near to each other, or over each other (gap 0). */
  readonly tooNear: readonly PairGap[];
  /** Those that the builder has put beyond the edge or its margin, with the least move that brings each in; null where it is too large. */
  readonly outside: readonly {
    readonly part: number;
    readonly beyondMm: number;
    readonly move: Point | null;
  }[];
}

export interface PairGap {
  readonly first: number;
  readonly second: number;
  readonly gapMm: number;
}

/** How much nearer than asked two parts may be measured before it counts: the error of `plateGap`, mm. */
const GAP_ERROR_MM = 0.25;
/** As `outside-plate` allows: float32 coordinates at 300 mm are 3e-5 mm apart. */
const EDGE_MM = 1e-3;

/** Parts with a place of their own stay there; the others are arranged round them. The same task gives the same layout. */
export function layOutPlate(task: PlateTask, interrupter: Interrupter): PlateLayout {
  const places = arrangeParts(task, 'any', portion(interrupter, 0, 0.8));
  const borders = task.parts.map(({ footprint }, part) => {
    const place = places[part]!;
    return place === null ? null : borderPoints(footprint, place);
  });
  const gaps = pairGaps(borders, portion(interrupter, 0.8, 1));
  const byHand = ({ first, second }: PairGap): boolean =>
    task.parts[first]!.at !== null && task.parts[second]!.at !== null;
  const isTooNear = ({ first, second, gapMm }: PairGap): boolean =>
    gapMm < task.gapMm - GAP_ERROR_MM || (gapMm === 0 && liesOver(borders[first]!, borders[second]!));
  return {
    places,
    nearest: gaps.reduce<PairGap | null>(
      (best, gap) => (best === null || gap.gapMm < best.gapMm ? gap : best),
      null,
    ),
    tooNear: gaps.filter((gap) => byHand(gap) && isTooNear(gap)),
    outside: task.parts.flatMap((part, index) => outsideOf(task, part, index)),
  };
}

function pairGaps(borders: readonly (Border | null)[], interrupter: Interrupter): PairGap[] {
  const gaps: PairGap[] = [];
  for (const [second, b] of borders.entries()) {
    interrupter(second / borders.length);
    for (const [first, a] of borders.slice(0, second).entries()) {
      if (a !== null && b !== null) gaps.push({ first, second, gapMm: plateGap(a, b) });
    }
  }
  return gaps;
}

function outsideOf(
  { room }: PlateTask,
  { footprint, at, spin }: PlatedFootprint,
  part: number,
): PlateLayout['outside'] {
  if (at === null) return [];
  const turn = spin ?? 0;
  const { min, max } = spunBounds(footprint, turn);
  const allowed = isQuarterTurn(turn) ? EDGE_MM : footprint.cellX + footprint.cellY;
  const beyond = [0, 1].map((axis) => {
    const below = -room[axis]! / 2 - (at[axis]! + min[axis]!);
    const above = at[axis]! + max[axis]! - room[axis]! / 2;
    return { below, above, fits: max[axis]! - min[axis]! <= room[axis]! + allowed };
  });
  const beyondMm = Math.max(...beyond.flatMap(({ below, above }) => [below, above]));
  if (!(beyondMm > allowed)) return [];
  const move = beyond.map(({ below, above }) => Math.max(0, below) - Math.max(0, above)) as [number, number];
  return [{ part, beyondMm, move: beyond.every(({ fits }) => fits) ? move : null }];
}

import type { Strata } from '../../src/protocol/partView.ts';
import { peakOf } from './columnRange.ts';

/** The least of the given factors times a power of ten at or above a value; 1 for no value at all. */
function roundUp(value: number, factors: readonly number[]): number {
  if (!(value > 0) || !Number.isFinite(value)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  return factors.find((factor) => factor * power >= value * (1 - 1e-9))! * power;
}

/** A round top for a scale, with little empty space over the value. */
export function niceTop(value: number): number {
  return roundUp(value, [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10]);
}

/** A round step that gives at most `most` intervals over `length`. */
export function niceStep(length: number, most: number): number {
  return roundUp(length / Math.max(1, most), [1, 2, 5, 10]);
}

/** Tops of the strata's two scales. */
export interface StrataScale {
  readonly areaTop: number;
  readonly pullTop: number;
  /** False when the limit lies so far above the curve that drawing it would flatten the curve. */
  readonly limitInSight: boolean;
}

const furthestLimit = 4;

export function strataScale(strata: Strata): StrataScale {
  const area = Math.max(peakOf(strata.areaMm2).value, peakOf(strata.cupAreaMm2).value);
  const pull = peakOf(strata.pullN).value;
  const limitInSight = strata.pullLimitN <= furthestLimit * Math.max(pull, 1e-9);
  return {
    areaTop: niceTop(area * 1.02),
    pullTop: niceTop((limitInSight ? Math.max(pull, strata.pullLimitN) : pull) * 1.02),
    limitInSight,
  };
}

import type { Strata } from '../../src/protocol/partView.ts';
import { peakOf } from './columnRange.ts';

/** Round numbers at or above a value: 1, 2 or 5 times a power of ten. */
export function niceCeiling(value: number): number {
  if (!(value > 0) || !Number.isFinite(value)) return 1;
  const power = 10 ** Math.floor(Math.log10(value));
  const step = [1, 2, 5, 10].find((factor) => factor * power >= value * (1 - 1e-9))!;
  return step * power;
}

/** A round step that gives at most `most` intervals over `length`. */
export function niceStep(length: number, most: number): number {
  return niceCeiling(length / Math.max(1, most));
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
    areaTop: niceCeiling(area * 1.02),
    pullTop: niceCeiling((limitInSight ? Math.max(pull, strata.pullLimitN) : pull) * 1.02),
    limitInSight,
  };
}

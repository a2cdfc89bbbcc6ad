import type { Manifest } from '../kit/manifest.ts';
import { roundTo } from '../kit/rounding.ts';
import type { Box, Vec3 } from '../vector.ts';
import { boxAround } from './boxAround.ts';
import { type Span, spanAround } from './extentAlong.ts';
import { knownText } from './knownText.ts';
import { ratioOf } from './ratioOf.ts';

/** How large a kit is printed, and how that follows. Deviations are one standard deviation. */
export interface ScaleReport {
  readonly finished: string | null;
  /** Print mm per source unit; null when it does not follow. */
  readonly factor: number | null;
  /** Null where the factor is given itself. */
  readonly deviation: number | null;
  /** By how much that was enlarged because the lengths disagree; 1 = not at all. */
  readonly enlarged: number;
  readonly answers: readonly AnswerReport[];
  /** All parts together as they stand in the STL, source units; null where none could be read. */
  readonly size_units: readonly [number, number, number] | null;
  /** What is up as the figure stands, source axes (`assembled.up`), and how far all parts together reach along it. */
  readonly up: Vec3;
  readonly height_units: number | null;
  /** The same in print and on the subject. */
  readonly height_mm: number | null;
  readonly height_deviation_mm: number | null;
  readonly subject_height_mm: number | null;
}

/** What one known length says. */
export interface AnswerReport {
  readonly length: string;
  readonly source_units: number;
  readonly factor: number;
  readonly deviation: number;
  /** Parts of it, as shares of the factor. */
  readonly spread_share: number;
  readonly picking_share: number;
  readonly weight: number;
  readonly apart: number | null;
}

/** What is up in a kit, source axes: z where its files do not stand together. */
export const upOf = ({ assembled }: Manifest): Vec3 => assembled?.up ?? [0, 0, 1];

/** @param parts those that could be read, source coordinates; `upward` along `upOf`. */
export function scaleReport(
  manifest: Manifest,
  parts: readonly { readonly box: Box; readonly upward: Span }[],
): ScaleReport {
  const { factor, finished, derived } = manifest.scale;
  const around = boxAround(parts.map(({ box }) => box));
  const span = spanAround(parts.map(({ upward }) => upward));
  const units = span && span.high - span.low;
  const size = around && ([0, 1, 2] as const).map((axis) => around.max[axis] - around.min[axis]);
  const height = factor === null || units === null ? null : units * factor;
  const ratio = ratioOf(finished);
  const rounded = (value: number | null, decimals: number): number | null =>
    value === null ? null : roundTo(value, decimals);
  return {
    finished,
    factor: rounded(factor, 6),
    deviation: rounded(derived?.deviation ?? null, 6),
    enlarged: roundTo(derived?.enlarged ?? 1, 3),
    answers: (derived?.answers ?? []).map(
      ({ length, factor: own, spreadShare, pickingShare, weight, apart }) => ({
        length: knownText(length),
        source_units: roundTo(length.source, 4),
        factor: roundTo(own, 6),
        deviation: roundTo(own * Math.hypot(spreadShare, pickingShare), 6),
        spread_share: roundTo(spreadShare, 5),
        picking_share: roundTo(pickingShare, 5),
        weight: roundTo(weight, 4),
        apart: rounded(apart, 2),
      }),
    ),
    size_units: size && [roundTo(size[0]!, 4), roundTo(size[1]!, 4), roundTo(size[2]!, 4)],
    up: upOf(manifest),
    height_units: rounded(units, 4),
    height_mm: rounded(height, 2),
    height_deviation_mm:
      height === null || derived === null ? null : roundTo((height * derived.deviation) / derived.factor, 2),
    subject_height_mm: height === null || ratio === null ? null : roundTo(height * ratio, 1),
  };
}

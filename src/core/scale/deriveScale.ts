import { bodySpread } from './bodyMeasures.ts';
import type { KnownLength } from './knownLength.ts';

/** What one known length says of the factor (print mm per source unit). Shares are one standard deviation. */
export interface ScaleAnswer {
  readonly length: KnownLength;
  readonly factor: number;
  /** How far people differ from the published mean, as a share of the factor; 0 where no mean is used. */
  readonly spreadShare: number;
  /** How well both ends are known, as a share of the factor. */
  readonly pickingShare: number;
  /** How much it counts; all together 1. */
  readonly weight: number;
  /** How far it is from what the others say together, in standard deviations of that difference; null where it is alone. */
  readonly apart: number | null;
}

export interface DerivedScale {
  readonly factor: number;
  /** One standard deviation. */
  readonly deviation: number;
  /** By how much that was enlarged because the answers differ more than they should; 1 = not at all. */
  readonly enlarged: number;
  readonly answers: readonly ScaleAnswer[];
}

/** Beyond so many standard deviations an answer contradicts the others: one in twenty by chance. */
export const disagreement = 2;

/**
 * The factor from one or more known lengths. Each counts by 1/σ². The ends of the lengths err by themselves; the
 * figure is one person, tall or small in all its measures, so the spreads of published means are taken to err
 * together, which no real correlation exceeds. Where the answers scatter more than their own uncertainty, the result
 * is as much less certain (the Birge ratio of the literature on fundamental constants).
 *
 * @param ratio of the finished figure: 4 for 1:4; null where none is given.
 * @param pickingMm how well each end of a length is known, print mm.
 * @returns null where nothing is known, or a length of the subject has no ratio to be scaled by.
 */
export function deriveScale(
  lengths: readonly KnownLength[],
  ratio: number | null,
  pickingMm: number,
): DerivedScale | null {
  const alone = lengths.map((length) => answerOf(length, ratio, pickingMm));
  if (alone.length === 0 || alone.some((answer) => answer === null)) return null;
  const answers = alone as readonly Alone[];
  const { factor, deviation, weights } = combine(answers);
  const enlarged = birgeRatio(answers, factor);
  return {
    factor,
    deviation: deviation * enlarged,
    enlarged,
    answers: answers.map((answer, n) => ({ ...answer, weight: weights[n]!, apart: apartOf(answers, n) })),
  };
}

type Alone = Pick<ScaleAnswer, 'length' | 'factor' | 'spreadShare' | 'pickingShare'>;

function answerOf(length: KnownLength, ratio: number | null, pickingMm: number): Alone | null {
  const { known, source } = length;
  if (known.kind === 'print') return answer(length, known.mm / source, 0, pickingMm);
  if (ratio === null) return null;
  if (known.kind === 'subject') return answer(length, known.mm / ratio / source, 0, pickingMm);
  const { mean, deviation } = bodySpread(known.measure, known.sex);
  return answer(length, mean / ratio / source, deviation / mean, pickingMm);
}

function answer(length: KnownLength, factor: number, spreadShare: number, pickingMm: number): Alone | null {
  if (!(Number.isFinite(factor) && factor > 0)) return null;
  const pickingShare = (pickingMm * Math.SQRT2) / (factor * length.source);
  return { length, factor, spreadShare, pickingShare };
}

/** Nothing is known exactly; so much is what a floating-point STL leaves. */
const leastShare = 1e-7;

const deviationOf = ({ factor, spreadShare, pickingShare }: Alone): number =>
  factor * Math.hypot(spreadShare, pickingShare, leastShare);

interface Combined {
  readonly factor: number;
  readonly deviation: number;
  readonly weights: readonly number[];
}

function combine(answers: readonly Alone[]): Combined {
  const [only] = answers;
  if (answers.length === 1) return { factor: only!.factor, deviation: deviationOf(only!), weights: [1] };
  const counts = answers.map((answer) => deviationOf(answer) ** -2);
  const all = counts.reduce((sum, count) => sum + count, 0);
  const weights = counts.map((count) => count / all);
  const sum = (of: (answer: Alone, weight: number) => number): number =>
    answers.reduce((total, answer, n) => total + of(answer, weights[n]!), 0);
  const ends = sum(({ factor, pickingShare }, weight) => (weight * factor * pickingShare) ** 2);
  const people = sum(({ factor, spreadShare }, weight) => weight * factor * spreadShare);
  return {
    factor: sum(({ factor }, weight) => weight * factor),
    deviation: Math.hypot(Math.sqrt(ends), people),
    weights,
  };
}

function birgeRatio(answers: readonly Alone[], factor: number): number {
  if (answers.length === 1) return 1;
  const squares = answers.reduce(
    (sum, answer) => sum + ((answer.factor - factor) / deviationOf(answer)) ** 2,
    0,
  );
  return Math.max(1, Math.sqrt(squares / (answers.length - 1)));
}

function apartOf(answers: readonly Alone[], n: number): number | null {
  if (answers.length === 1) return null;
  const one = answers[n]!;
  const others = combine(answers.filter((_, index) => index !== n));
  return Math.abs(one.factor - others.factor) / Math.hypot(deviationOf(one), others.deviation);
}

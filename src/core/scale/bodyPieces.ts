import { type BodyMeasure, bodySpread } from './bodyMeasures.ts';

/** What a part may be of a body, so that its size can be held against published ones. */
export const bodyPieceNames = ['head', 'hand', 'foot'] as const;
export type BodyPiece = (typeof bodyPieceNames)[number];

interface Expected {
  readonly measure: BodyMeasure;
  /** How many times the measure the longest side of such a part may be: bent, shod, with hair or a neck. */
  readonly least: number;
  readonly most: number;
}

/** Engineering choice, no source: wide enough for what sculptors cut off as a head, a hand or a foot. */
const expected: Readonly<Record<BodyPiece, Expected>> = {
  head: { measure: 'head-height', least: 0.85, most: 1.7 },
  hand: { measure: 'hand-length', least: 0.55, most: 1.6 },
  foot: { measure: 'foot-length', least: 0.85, most: 1.6 },
};

/** By a word of the part's name: `left-hand`. Null where no word tells. */
export function bodyPieceOfName(name: string): BodyPiece | null {
  const words = name.toLowerCase().split(/[^\p{L}]+/u);
  return bodyPieceNames.find((piece) => words.includes(piece)) ?? null;
}

export interface ExpectedSize {
  readonly measure: BodyMeasure;
  /** Longest side of such a part of an adult, mm: from a small one bent to a large one in a boot. */
  readonly least: number;
  readonly most: number;
  readonly mean: number;
}

/** How many standard deviations from the mean still count as usual. */
const usual = 2;

/** What the longest side of a piece may be on a subject of either sex. */
export function expectedSize(piece: BodyPiece): ExpectedSize {
  const { measure, least, most } = expected[piece];
  const { mean, deviation } = bodySpread(measure, null);
  return {
    measure,
    mean,
    least: (mean - usual * deviation) * least,
    most: (mean + usual * deviation) * most,
  };
}

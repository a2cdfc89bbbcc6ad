/** A length that surveys publish of adults, standing. */
export const bodyMeasureNames = ['stature', 'head-height', 'hand-length', 'foot-length'] as const;
export type BodyMeasure = (typeof bodyMeasureNames)[number];

export const sexes = ['men', 'women'] as const;
export type Sex = (typeof sexes)[number];

/** Mean and standard deviation of a population, mm. */
export interface Spread {
  readonly mean: number;
  readonly deviation: number;
}

export interface PublishedMeasure extends Readonly<Record<Sex, Spread>> {
  /** From where to where on the body. */
  readonly what: string;
  readonly basis: string;
}

const survey = '2012 Anthropometric Survey of U.S. Army Personnel (Gordon et al., NATICK/TR-15/007)';

/**
 * Means and standard deviations of 4082 men and 1986 women. "From memory" is what could not be read again;
 * 32 men of the survey's public release have 1755 ± 12 (stature), 193 ± 1.6 (hand) and 270 ± 2.5 mm (foot).
 */
export const bodyMeasures: Readonly<Record<BodyMeasure, PublishedMeasure>> = {
  stature: {
    what: 'from the floor to the crown, barefoot',
    men: { mean: 1756.2, deviation: 68.6 },
    women: { mean: 1628.5, deviation: 64.2 },
    basis: `${survey}, from memory but for the mean of men`,
  },
  'head-height': {
    what: 'from the chin to the crown, without hair',
    men: { mean: 232, deviation: 9 },
    women: { mean: 218, deviation: 9 },
    basis: 'from memory: published heads of about 229 to 232 mm (men) and 215 to 218 mm (women)',
  },
  'hand-length': {
    what: 'from the crease of the wrist to the tip of the middle finger, straight',
    men: { mean: 193.3, deviation: 9.9 },
    women: { mean: 181.1, deviation: 10.1 },
    basis: survey,
  },
  'foot-length': {
    what: 'from the heel to the longest toe, barefoot',
    men: { mean: 271.1, deviation: 13.2 },
    women: { mean: 246.3, deviation: 12.4 },
    basis: `${survey}, from memory`,
  },
};

/** Of men, of women, or of as many men as women: two populations mixed half and half. */
export function bodySpread(measure: BodyMeasure, sex: Sex | null): Spread {
  const { men, women } = bodyMeasures[measure];
  if (sex !== null) return bodyMeasures[measure][sex];
  const apart = (men.mean - women.mean) / 2;
  return {
    mean: (men.mean + women.mean) / 2,
    deviation: Math.sqrt((men.deviation ** 2 + women.deviation ** 2) / 2 + apart ** 2),
  };
}

import type { OpeningTrial, TrialFigures } from '../../src/protocol/openingTrial.ts';
import { figureText } from '../shared/figureText.ts';

/** What a candidate would change, a line each: what would be, and what is now where that differs. */
export function trialLines({ before, after, said }: OpeningTrial): string[] {
  const figures = rows.map(([label, value]) => {
    const [now, then] = [value(before), value(after)];
    return now === then ? `${label} ${then}` : `${label} ${then}, now ${now}`;
  });
  return [...figures, ...said.map(({ severity, message }) => `${severityWords[severity]}: ${message}`)];
}

const rows: readonly (readonly [label: string, value: (figures: TrialFigures) => string])[] = [
  [
    'breathes',
    ({ breathesLayer, sealedCups }) =>
      sealedCups > 0 ? 'never' : breathesLayer === null ? 'always' : `from layer ${breathesLayer}`,
  ],
  ['suction', ({ suctionN }) => figureText(suctionN, 'N')],
  ['worst pull', ({ pullN }) => figureText(pullN, 'N')],
  ['left inside', ({ trappedMl }) => figureText(trappedMl, 'ml')],
];

export const severityWords = { error: 'Error', warning: 'Warning', info: 'Note' } as const;

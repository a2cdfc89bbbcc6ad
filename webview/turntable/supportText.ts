import type { SupportFigures, SupportTrial } from '../../src/protocol/supportTrial.ts';
import { figureText } from '../shared/figureText.ts';
import { severityWords } from './trialText.ts';

/** What a support would bear and change, a line each: what would be, and what is now where that differs. */
export function supportLines({ tip, before, after, asPlanned, said }: SupportTrial): string[] {
  const own =
    tip === null
      ? []
      : [
          `bears ${figureText(tip.loadN, 'N')} in layer ${tip.loadLayer}`,
          `tip ${figureText(tip.widthMm, 'mm')} wide, ${tip.stands === 'plate' ? 'stands on the plate' : 'stands on the part'}`,
        ];
  const figures = rows.map(([label, value]) => {
    const then = value(after);
    const now = before === null ? then : value(before);
    return now === then ? `${label} ${then}` : `${label} ${then}, now ${now}`;
  });
  return [
    ...own,
    ...figures,
    ...(asPlanned ? [] : [maybeOther]),
    ...said.map(({ severity, message }) => `${severityWords[severity]}: ${message}`),
  ];
}

const maybeOther = 'figures with the spacing of now: the check may come to another';

const rows: readonly (readonly [label: string, value: (figures: SupportFigures) => string])[] = [
  ['supports', ({ count }) => String(count)],
  [
    'the weakest takes',
    ({ reserve, reserveLayer }) =>
      reserve === null ? 'no load' : `${figureText(reserve, 'times')} its load (layer ${reserveLayer})`,
  ],
  ['starts unheld', ({ unheld }) => String(unheld)],
];

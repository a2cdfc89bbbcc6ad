import type { Portion } from '../../filling/balance.ts';
import type { FindingDraft } from '../finding.ts';
import { shorten } from '../manifestPath.ts';
import { figure } from './figures.ts';
import type { PartContext } from './ruleContext.ts';

/** Told with the cautions that belong to it: the order of work, and the warmth of what sets in bulk. */
export function chamberFilled({ part, facts }: PartContext): FindingDraft[] {
  const { fills, coats, total } = facts.balance;
  return [
    ...tell('fill', part.fill?.name, fills, 'filled with'),
    ...tell('coat', part.coat?.name, coats, 'lined with'),
  ];

  function tell(
    key: 'fill' | 'coat',
    name: string | undefined,
    portions: readonly Portion[] | null,
    verb: string,
  ): FindingDraft[] {
    if (name === undefined || portions === null || portions.length === 0) return [];
    const massG = portions.reduce((sum, portion) => sum + portion.massG, 0);
    const volume = portions.reduce((sum, portion) => sum + portion.volumeMm3, 0) / 1000;
    return [
      {
        code: 'chamber-filled',
        part: part.name,
        path: ['parts', part.name, key],
        message: `The hollow of ${part.name} is ${verb} ${figure(volume, 'ml')} of ${shorten(name)}, ${figure(massG, 'g')}; it then weighs ${figure(total.massG, 'g')} in all. Drain, rinse, dry and cure it first, never pour over liquid resin, and fill in steps: what sets in bulk grows warm.`,
        at: total.at,
        measured: massG,
        unit: 'g',
      },
    ];
  }
}

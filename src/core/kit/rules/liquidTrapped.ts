import type { FindingDraft } from '../finding.ts';
import { figure, openingName } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** What stays in a chamber however it is held for the wash. */
export function liquidTrapped({ manifest, part, facts }: PartContext): FindingDraft[] {
  const limit = manifest.limits.left;
  return facts.drains.flatMap((drain): FindingDraft[] => {
    if (drain === null || drain.leftMm3 <= 1000 * limit) return [];
    const { leftMm3, retainedMm3, turn, pond, freeingMm } = drain;
    const held =
      retainedMm3 > leftMm3 / 2
        ? ` ${figure(retainedMm3 / 1000, 'ml')} of it is held by surface tension.`
        : '';
    const place =
      pond === null
        ? ''
        : ` ${figure(pond.volumeMm3 / 1000, 'ml')} stand in one place${pond.holds === null ? '' : `, behind the ${openingName(pond.holds)}`}; a hole of ${figure(Math.ceil(freeingMm ?? 0), 'mm')} there would let it out.`;
    return [
      {
        code: 'liquid-trapped',
        ...atPart(part),
        message: `${figure(leftMm3 / 1000, 'ml')} of liquid stay in a chamber of ${part.name} however it is held for the wash (least with a turn of ${turn.join(', ')}).${held}${place} Liquid that is sealed in later stays liquid, can leak and can split the part.`,
        ...(pond !== null && { at: pond.at }),
        measured: leftMm3 / 1000,
        limit,
        unit: 'ml',
        remedies: [{ kind: 'propose' }],
      },
    ];
  });
}

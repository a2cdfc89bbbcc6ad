import type { OpeningKind } from '../../openings/opening.ts';
import type { FindingDraft } from '../finding.ts';
import { openingPath } from '../openingPath.ts';
import { figure, openingName } from './figures.ts';
import type { PartContext } from './ruleContext.ts';

/** A tube has to come out where its wire is wanted, and a passage lies in a seam. */
const hidden: ReadonlySet<OpeningKind> = new Set<OpeningKind>(['tube', 'passage']);

/** A vent or drain whose mouth the viewer of the figure would see. */
export function openingOnShowSide({ part, facts }: PartContext): FindingDraft[] {
  return facts.openings.flatMap(({ decision, placed, showReachMm }) => {
    if (showReachMm === null || placed === null || hidden.has(decision.kind)) return [];
    const whole = showReachMm >= 2 * placed.radius;
    const reach = whole ? 'lies on the show side' : `reaches ${figure(showReachMm, 'mm')} into the show side`;
    return [
      {
        code: 'opening-on-show-side',
        part: part.name,
        path: openingPath(part.name, decision.id, 'at'),
        opening: decision.id,
        at: placed.mouth,
        message: `The mouth of the ${openingName(decision.id)} ${reach} of ${part.name}, where it will be seen; move it out of the outline.`,
        measured: showReachMm,
        limit: 0,
        unit: 'mm',
        remedies: [{ kind: 'find-place' }, { kind: 'propose' }],
      },
    ];
  });
}

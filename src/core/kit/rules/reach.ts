import type { FindingDraft, Remedy } from '../finding.ts';
import type { PartFacts } from '../partFacts.ts';
import { figure } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** Parts of a chamber that a lamp put in, or shone in, through its openings does not see. */
export function hardToCure({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { unlit, lamp, lampReach } = manifest.limits;
  return facts.reach.flatMap((reach, chamber): FindingDraft[] => {
    const share = reach && (100 * reach.unlitMm3) / facts.hollow.chambers[chamber]!.volumeMm3;
    if (reach === null || share === null || share <= unlit) return [];
    const how =
      reach.smallestOpeningMm < lamp ? ` A lamp of ${figure(lamp, 'mm')} goes through none narrower.` : '';
    return [
      {
        code: 'hard-to-cure',
        ...atPart(part),
        message: `${figure(reach.unlitMm3 / 1000, 'ml')} of a chamber of ${part.name}, ${figure(share, '%')}, are out of sight of every opening, or further than ${figure(lampReach, 'mm')} from one, so a lamp does not cure its walls.${how} Give that end an opening, or cure it before it is closed.`,
        ...(reach.unlitAt !== null && { at: reach.unlitAt }),
        measured: share,
        limit: unlit,
        unit: '%',
        remedies: reachRemedies(facts, chamber, lamp),
      },
    ];
  });
}

/** Parts of a chamber to which no wide and short enough way leads from an opening. */
export function hardToRinse({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { unrinsed, rinseWay, rinseReach } = manifest.limits;
  return facts.reach.flatMap((reach, chamber): FindingDraft[] => {
    if (reach === null || reach.unrinsedMm3 <= 1000 * unrinsed) return [];
    return [
      {
        code: 'hard-to-rinse',
        ...atPart(part),
        message: `${figure(reach.unrinsedMm3 / 1000, 'ml')} of a chamber of ${part.name} are reached only through ways narrower than ${figure(rinseWay, 'mm')}, openings included, or longer than ${figure(rinseReach, 'mm')}; liquid resin stays there after the wash. Make an opening wider, or give that end one of its own.`,
        ...(reach.unrinsedAt !== null && { at: reach.unrinsedAt }),
        measured: reach.unrinsedMm3 / 1000,
        limit: unrinsed,
        unit: 'ml',
        remedies: reachRemedies(facts, chamber, rinseWay),
      },
    ];
  });
}

/** Where every opening of the chamber is too narrow, its widest made wide enough; else one more. */
function reachRemedies({ openings, loads }: PartFacts, chamber: number, neededMm: number): Remedy[] {
  const own = openings.filter(({ decision }) => loads.chamberOpenings[chamber]?.includes(decision.id));
  const [widest] = own.map(({ decision }) => decision).sort((a, b) => b.diameter - a.diameter);
  return widest === undefined || widest.diameter >= neededMm
    ? [{ kind: 'propose' }]
    : [{ kind: 'diameter', value: neededMm, opening: widest.id }, { kind: 'propose' }];
}

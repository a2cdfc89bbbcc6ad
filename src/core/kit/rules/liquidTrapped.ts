import { attitudeWords } from '../../drainage/attitudeWords.ts';
import type { PosedDrain } from '../../drainage/chamberDrain.ts';
import type { FindingDraft, Remedy } from '../finding.ts';
import { figure, openingName } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

const caution = 'Liquid that is sealed in later stays liquid, can leak and can split the part.';

/** What stays in a chamber as it is held for the wash: as the builder asks, or else in the best attitude. */
export function liquidTrapped(context: PartContext): FindingDraft[] {
  const { manifest, part, facts } = context;
  const limit = manifest.limits.left;
  return facts.drains.flatMap((drain, chamber): FindingDraft[] => {
    if (drain === null) return [];
    if (drain.air === 'none') return [airless(drain, chamber, context)];
    if (drain.leftMm3 <= 1000 * limit) return [];
    const asked = part.wash !== null;
    return [
      {
        code: 'liquid-trapped',
        ...(asked ? { part: part.name, path: ['parts', part.name, 'wash'] } : atPart(part)),
        message: [
          `${ml(drain.leftMm3)} of liquid stay in a chamber of ${part.name} ${held(drain, asked)}.`,
          ...byTension(drain),
          ...inOnePlace(drain),
          caution,
        ].join(' '),
        ...(drain.pond !== null && { at: drain.pond.at }),
        measured: drain.leftMm3 / 1000,
        limit,
        unit: 'ml',
        remedies: [...heldBetter(drain, 1000 * limit), ...remediesFor(drain)],
      },
    ];
  });
}

const ml = (mm3: number): string => figure(mm3 / 1000, 'ml');

function held({ turn, better, downInPrint }: PosedDrain, asked: boolean): string {
  const words = attitudeWords(downInPrint);
  if (!asked) return `however it is held for the wash (least ${words}, a turn of ${turn.join(', ')})`;
  const less = better && `; with a wash of ${better.turn.join(', ')} it would be ${ml(better.leftMm3)}`;
  return `as wash holds it, ${words}${less ?? ''}`;
}

function byTension({ leftMm3, retainedMm3 }: PosedDrain): string[] {
  return retainedMm3 > leftMm3 / 2 ? [`${ml(retainedMm3)} of it is held by surface tension.`] : [];
}

function inOnePlace({ pond, freeingMm }: PosedDrain): string[] {
  if (pond === null || freeingMm === null) return [];
  const behind = pond.holds === null ? '' : `, behind the ${openingName(pond.holds)}`;
  const hole = figure(Math.ceil(freeingMm), 'mm');
  return [`${ml(pond.volumeMm3)} stand in one place${behind}; a hole of ${hole} there would let it out.`];
}

/** Another hold than the one asked for, where it is enough by itself. */
function heldBetter({ better }: PosedDrain, limitMm3: number): Remedy[] {
  return better !== null && better.leftMm3 <= limitMm3 ? [{ kind: 'wash', turn: better.turn }] : [];
}

/** An opening that surface tension closes is made wider; a pocket needs one of its own. */
function remediesFor({ pond, leftMm3, retainedMm3, freeingMm }: PosedDrain): Remedy[] {
  const holder = retainedMm3 > leftMm3 / 2 ? pond?.holds : null;
  if (!holder || freeingMm === null) return [{ kind: 'propose' }];
  return [{ kind: 'diameter', value: Math.ceil(freeingMm), opening: holder }, { kind: 'propose' }];
}

/** No air, no flow: all of the chamber may stay. */
function airless(drain: PosedDrain, chamber: number, { manifest, part, facts }: PartContext): FindingDraft {
  const { volumeMm3, centroid } = facts.hollow.chambers[chamber]!;
  const asked = part.wash !== null;
  const where = asked
    ? `as wash holds it, ${attitudeWords(drain.downInPrint)}`
    : 'however it is held for the wash';
  const turn = drain.better && ` With a wash of ${drain.better.turn.join(', ')} air would come in.`;
  const diameter = figure(Math.ceil(10 * (drain.airingMm ?? 0)) / 10, 'mm');
  return {
    code: 'liquid-trapped',
    ...(asked ? { part: part.name, path: ['parts', part.name, 'wash'] } : atPart(part)),
    message: `Air does not come dependably into a chamber of ${part.name} ${where}, so all of its ${ml(volumeMm3)} may stay: surface tension closes its openings.${turn ?? ''} Give it one at another height, or one of more than ${diameter} and hold that sideways. ${caution}`,
    at: centroid,
    measured: volumeMm3 / 1000,
    limit: 0,
    unit: 'ml',
    remedies: [...heldBetter(drain, 1000 * manifest.limits.left), { kind: 'propose' }],
  };
}

import type { OpeningFacts } from '../../openings/opening.ts';
import { type OpeningVerdict, openingVerdicts } from '../../openings/openingVerdicts.ts';
import type { FindingDraft, Remedy } from '../finding.ts';
import type { ManifestPath } from '../manifest.ts';
import { openingPath } from '../openingPath.ts';
import { roundTo } from '../rounding.ts';
import { figure, figuresApart, openingName } from './figures.ts';
import type { PartContext } from './ruleContext.ts';

/** What is wrong with each opening, as measured; see `openingVerdicts`. */
export function openingFaults({ part, facts }: PartContext): FindingDraft[] {
  const hollow = facts.hollow.chambers.length > 0;
  return facts.openings.flatMap((opening) => {
    const { decision, placed } = opening;
    const verdicts = openingVerdicts(opening, hollow).filter((verdict) => !isMeant(opening, verdict, hollow));
    const drafts = verdicts.map((verdict) => tell(opening, verdict, part));
    if (!hollow && placed !== null && decision.kind !== 'tube') drafts.unshift(tellSolid(opening, part));
    return drafts;
  });
}

/** A bore for a wire may end in solid where the builder says how deep it goes, and may go right through. */
function isMeant(
  { decision, farSideDepthMm }: OpeningFacts,
  { code }: OpeningVerdict,
  hollow: boolean,
): boolean {
  // An axis that points out of the part is told once, as reaching no chamber.
  if (code === 'opening-through' && hollow && farSideDepthMm === 0) return true;
  if (decision.kind !== 'tube') return false;
  return code === 'opening-through' || (code === 'opening-misses-chamber' && decision.depth !== undefined);
}

type Part = PartContext['part'];

function tell(opening: OpeningFacts, verdict: OpeningVerdict, part: Part): FindingDraft {
  const { key, message } = words(opening, verdict, part);
  const isPassage = opening.decision.kind === 'passage';
  return {
    ...place(opening, part, openingPath(part.name, opening.decision.id, key)),
    code: verdict.code,
    message,
    measured: verdict.measured,
    ...(verdict.limit !== null && { limit: verdict.limit }),
    unit: 'mm',
    remedies: remediesOf(opening, verdict).filter(({ kind }) => !isPassage || !elsewhere.has(kind)),
  };
}

/** Of no use to a passage: it cannot leave its seam, and its depth is that of both halves, of which one was asked. */
const elsewhere: ReadonlySet<Remedy['kind']> = new Set<Remedy['kind']>(['move', 'find-place', 'depth']);

/** What would answer it, the best first. */
function remediesOf(opening: OpeningFacts, { code, measured, limit }: OpeningVerdict): Remedy[] {
  const { nearest } = opening;
  switch (code) {
    case 'opening-off-surface':
      return [
        ...(nearest === undefined ? [] : [{ kind: 'move' as const, at: nearest }]),
        { kind: 'find-place' },
        { kind: 'remove' },
        { kind: 'propose' },
      ];
    case 'opening-misses-chamber':
      return limit === null
        ? [{ kind: 'find-place' }, { kind: 'remove' }, { kind: 'propose' }]
        : [...depthWithin(opening, Math.ceil(2 * (limit + BEYOND_MM)) / 2), { kind: 'remove' }];
    case 'opening-through':
      return [...depthWithin(opening, Math.floor(2 * (limit! - SHORT_MM)) / 2), { kind: 'remove' }];
    case 'opening-near-wall': {
      const diameter = Math.floor(4 * measured) / 2;
      return [
        { kind: 'find-place' },
        ...(diameter < LEAST_DIAMETER_MM ? [] : [{ kind: 'diameter' as const, value: diameter }]),
        { kind: 'propose' },
      ];
    }
  }
}

/** How far a bore is taken into a chamber it misses, and how far short of a far wall it hits, mm. */
const BEYOND_MM = 1;
const SHORT_MM = 0.5;
/** A narrower one is no opening, mm. */
const LEAST_DIAMETER_MM = 1;

/** That depth where it ends within the chamber, or the middle of a chamber too narrow for it; none where neither is. */
function depthWithin({ chamberDepthMm, farWallDepthMm, farSideDepthMm }: OpeningFacts, mm: number): Remedy[] {
  const from = chamberDepthMm ?? 0;
  const to = farWallDepthMm ?? farSideDepthMm ?? Infinity;
  const middle = (from + to) / 2;
  const value = [mm, roundTo(middle, 1), roundTo(middle, 2)].find((depth) => depth > from && depth < to);
  return value === undefined ? [] : [{ kind: 'depth', value }];
}

function tellSolid(opening: OpeningFacts, part: Part): FindingDraft {
  return {
    ...place(opening, part, openingPath(part.name, opening.decision.id)),
    code: 'opening-misses-chamber',
    message: `The ${openingName(opening.decision.id)} reaches no chamber: ${part.name} is solid. Remove it, or give the part a wall that leaves a hollow.`,
    ...(opening.placed !== null && { measured: opening.placed.depth, unit: 'mm' }),
    remedies: [{ kind: 'remove' }, ...(part.wall === null ? [] : [{ kind: 'find-wall' as const }])],
  };
}

function place({ decision, placed, asked }: OpeningFacts, part: Part, path: ManifestPath) {
  return { part: part.name, path, opening: decision.id, at: placed?.mouth ?? asked };
}

/** The sentence, and the key of the opening it is about (the entry itself without one). */
function words(
  { decision, farSideDepthMm }: OpeningFacts,
  { code, measured, limit }: OpeningVerdict,
  part: Part,
): { readonly key?: string; readonly message: string } {
  const name = openingName(decision.id);
  const mm = (value: number) => figure(value, 'mm');
  const [found, allowed] = figuresApart(measured, limit ?? measured, 'mm');
  switch (code) {
    case 'opening-off-surface':
      if (decision.kind === 'passage') {
        return {
          key: 'at',
          message: `The ${name} lies ${found} (print) off the seam's face on ${part.name}, so it is not cut there; move it into the section, clear of the keys.`,
        };
      }
      return {
        key: 'at',
        message: `The ${name} lies ${found} (print) from the surface of ${part.name}, more than ${allowed}, so it is not cut; at takes the STL’s own coordinates.`,
      };
    case 'opening-misses-chamber':
      if (limit === null) {
        return {
          message: `The ${name} points at no chamber; move it, or set toward (a direction in source axes into the part).`,
        };
      }
      return {
        key: 'depth',
        message: `The ${name} is ${found} deep, but its chamber starts at ${allowed}; drill ${mm(limit - measured)} deeper and a little more.`,
      };
    case 'opening-through': {
      const through = farSideDepthMm !== null && measured > farSideDepthMm;
      const what = through ? 'goes through the far side' : 'bites into the far wall of its chamber';
      return {
        key: 'depth',
        message: `The ${name} of ${found} depth ${what}; it must end before ${allowed}.`,
      };
    }
    case 'opening-near-wall':
      return {
        key: 'at',
        message: `The axis of the ${name} runs ${found} from a side wall of its chamber, closer than its radius of ${allowed}; move it ${mm(limit! - measured)} inward, or make it smaller.`,
      };
  }
}

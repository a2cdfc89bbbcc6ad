import type { FindingDraft } from '../kit/finding.ts';
import type { FindingCode } from '../kit/findingTable.ts';
import { findingTable } from '../kit/findingTable.ts';
import type { PartFacts } from '../kit/partFacts.ts';
import type { OpeningDecision } from '../openings/opening.ts';
import type { Result } from '../result.ts';

/** A part as it would be with some set of openings: its figures, and what is said against the openings. */
export interface Judgement {
  readonly facts: PartFacts;
  readonly faults: readonly FindingDraft[];
}

/** Measures and judges the part with these openings in place of its own. */
export type Judge = (openings: readonly OpeningDecision[]) => Promise<Result<Judgement>>;

/** Findings that openings cause or can cure. */
export const openingCodes: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'chamber-without-opening',
  'single-opening',
  'opening-misses-chamber',
  'opening-through',
  'opening-off-surface',
  'opening-near-wall',
  'opening-on-show-side',
  'resin-trapped',
  'liquid-trapped',
  'hard-to-rinse',
  'hard-to-cure',
  'sealed-cup',
  'breathes-late',
  'contact-cut',
  'light-meets-opening',
]);

/** Of walls those that a vent would hold. */
export const openingFaultsOf = (drafts: readonly FindingDraft[]): FindingDraft[] =>
  drafts.filter(
    ({ code, remedies = [] }) =>
      openingCodes.has(code) ||
      (code === 'wall-flexes' && remedies.some(({ kind }) => kind === 'diameter' || kind === 'propose')),
  );

const weightOf = { error: 100, warning: 10, info: 1 } as const;

/**
 * How bad a set of openings is. `said`: errors weigh more than the warnings that a part can have, and one
 * that is further over its limit a little more; 0 when nothing is said. `pull`: N summed over the layers,
 * by which a limb that was freed shows even where the finding about the cup is still the same.
 */
export interface Badness {
  readonly said: number;
  readonly pull: number;
}

export function badness({ faults, facts }: Judgement): Badness {
  const said = faults.reduce((sum, { code, measured, limit }) => {
    const over = measured === undefined || !limit ? 1 : Math.abs(measured / limit);
    return sum + weightOf[findingTable[code].severity] * (1 + over / (1 + over));
  }, 0);
  return { said, pull: facts.loads.pullN.reduce((sum, pull) => sum + pull, 0) };
}

/** A change that says no less must take off this part of the pull to be worth an opening. */
const WORTH = 0.01;

export const isBetter = (a: Badness, b: Badness): boolean =>
  a.said < b.said - 1e-9 || (a.said <= b.said + 1e-9 && a.pull < (1 - WORTH) * b.pull);

/** No worse, or so little that a smaller opening is worth it. */
export const isAsGood = (a: Badness, b: Badness): boolean =>
  a.said <= b.said + 1e-9 && a.pull <= (1 + WORTH / 2) * b.pull;

/** A finding by what it is about, whatever its figures are by now. */
export const nameOf = ({ code, at, opening }: FindingDraft): string =>
  `${code} ${opening ?? at?.join() ?? ''}`;

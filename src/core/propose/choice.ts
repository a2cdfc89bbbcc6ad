import type { OpeningDecision, OpeningId, OpeningKind } from '../openings/opening.ts';
import type { Judgement } from './judgement.ts';

/** One opening of a proposal: as the builder had it, changed, or new. `decision.id` is its place in the proposal. */
export interface Choice {
  readonly decision: OpeningDecision;
  /** Its id in the manifest; null when it is new. */
  readonly was: OpeningId | null;
  /** What was changed of it, a phrase each; empty as long as it is the builder's own. */
  readonly changes: readonly string[];
  /** Why it stands here, of a new one. */
  readonly place: string | null;
  /** Of a new one that must have some width, and what that is. */
  readonly least?: { readonly mm: number; readonly why: string };
  /** What a new one is needed for: how the part would be judged without it, and with the next narrower one. */
  readonly without?: Judgement;
  readonly narrower?: { readonly diameterMm: number; readonly judgement: Judgement };
}

export const asDecided = (decision: OpeningDecision): Choice => ({
  decision,
  was: decision.id,
  changes: [],
  place: null,
});

const lists = { vent: 'vents', drain: 'drains', tube: 'tubes' } as const satisfies Record<
  Exclude<OpeningKind, 'passage'>,
  string
>;

/** The choices with the ids that their places in their lists give them; a passage's list is its cut's. */
export function numbered(choices: readonly Choice[]): Choice[] {
  const counts = { vent: 0, drain: 0, tube: 0 };
  return choices.map((choice) => {
    const { kind } = choice.decision;
    if (kind === 'passage') return choice;
    return { ...choice, decision: { ...choice.decision, id: `${lists[kind]}/${counts[kind]++}` } };
  });
}

export const decisionsOf = (choices: readonly Choice[]): OpeningDecision[] =>
  choices.map(({ decision }) => decision);

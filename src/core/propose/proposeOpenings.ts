import { type Interrupter, portion } from '../interrupter.ts';
import type { FindingDraft } from '../kit/finding.ts';
import type { OpeningDecision, OpeningId } from '../openings/opening.ts';
import { type Result, success } from '../result.ts';
import { asDecided, type Choice, decisionsOf } from './choice.ts';
import { improveChoices, type ProposalSetting } from './improveChoices.ts';
import type { Judgement } from './judgement.ts';
import { type Judges, pruneChoices } from './pruneChoices.ts';

export interface Proposal {
  /** The whole of the part's openings, tubes included, by their ids. */
  readonly choices: readonly Choice[];
  /** The builder's openings that are left out, with what was said against each. */
  readonly left: readonly { readonly decision: OpeningDecision; readonly said: string }[];
  readonly before: Judgement;
  readonly after: Judgement;
  /** What is still said against the openings afterwards: no opening cures it. */
  readonly unmet: readonly FindingDraft[];
}

/** Progress by changes: most parts need fewer than this. */
const USUAL_CHANGES = 20;

/**
 * Openings for a part, few and small: starting from the builder's own, finding after finding is answered
 * by the small change (a wider opening, a new one at the best sites, one mended) that leaves the least to
 * be said, by the same measurement and rules that the check uses: first what is quick to judge, then how
 * the part empties in the wash and how far rinse and lamp reach. Then whatever is new and not needed is
 * taken back, and made as small as it can be. Deterministic.
 */
export async function proposeOpenings(
  own: readonly OpeningDecision[],
  setting: ProposalSetting,
  judges: Judges,
  interrupter: Interrupter,
): Promise<Result<Proposal>> {
  const choices = own.map(asDecided);
  const before = await judges.thorough(own);
  if (!before.ok) return before;
  const glance = await judges.quick(own);
  if (!glance.ok) return glance;
  const part = (from: number, to: number) => (changes: number) =>
    portion(interrupter, from, to)(Math.min(1, changes / USUAL_CHANGES));
  const breathing = await improveChoices(
    { choices, judgement: glance.value },
    setting,
    judges.quick,
    part(0, 0.5),
  );
  if (!breathing.ok) return breathing;
  const looked = await judges.thorough(decisionsOf(breathing.value.choices));
  if (!looked.ok) return looked;
  const served = await improveChoices(
    { choices: breathing.value.choices, judgement: looked.value },
    setting,
    judges.thorough,
    part(0.5, 0.7),
  );
  if (!served.ok) return served;
  const pruned = await pruneChoices(served.value, judges, portion(interrupter, 0.7, 1));
  if (!pruned.ok) return pruned;
  const after = pruned.value.judgement;
  return success({
    choices: pruned.value.choices,
    left: leftOut(own, pruned.value.choices, before.value),
    before: before.value,
    after,
    unmet: after.faults,
  });
}

function leftOut(
  own: readonly OpeningDecision[],
  choices: readonly Choice[],
  { faults }: Judgement,
): Proposal['left'] {
  const kept = new Set(choices.map(({ was }) => was));
  const saidOf = (id: OpeningId): string =>
    faults.find(({ opening }) => opening === id)?.message ?? 'It does nothing that the others do not.';
  return own.filter(({ id }) => !kept.has(id)).map((decision) => ({ decision, said: saidOf(decision.id) }));
}

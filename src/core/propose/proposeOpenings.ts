import type { Interrupter } from '../interrupter.ts';
import type { FindingDraft } from '../kit/finding.ts';
import { findingTable } from '../kit/findingTable.ts';
import { diametersMm } from '../openings/diameters.ts';
import type { OpeningDecision } from '../openings/opening.ts';
import type { Fluid } from '../physics/ventResistance.ts';
import { type Result, success } from '../result.ts';
import { asDecided, type Choice, decisionsOf, numbered } from './choice.ts';
import { type Badness, badness, isAsGood, isBetter, type Judge, type Judgement } from './judgement.ts';
import { type Board, movesFor } from './moves.ts';
import { needsFor } from './need.ts';
import type { OpeningSite } from './openingSites.ts';

export interface Proposal {
  /** The whole of the part's openings, tubes included, by their ids. */
  readonly choices: readonly Choice[];
  /** The builder's openings that are left out. */
  readonly left: readonly OpeningDecision[];
  readonly before: Judgement;
  readonly after: Judgement;
  /** What is still said against the openings afterwards: no opening cures it. */
  readonly unmet: readonly FindingDraft[];
}

/** Changes made one after the other at most; each cures something, so real parts need far fewer. */
const MOST_CHANGES = 40;

/**
 * Openings for a part, few and small: starting from the builder's own, finding after finding is answered
 * by the small change (a wider opening, a new one at the best sites, one mended) that leaves the least to
 * be said, by the same measurement and rules that the check uses. Then whatever is new and not needed is
 * taken back, and made as small as it can be. Deterministic.
 */
export async function proposeOpenings(
  own: readonly OpeningDecision[],
  sites: readonly OpeningSite[],
  { toSource, fits, fluid }: Pick<Board, 'toSource' | 'fits'> & { readonly fluid: Fluid },
  judge: Judge,
  interrupter: Interrupter,
): Promise<Result<Proposal>> {
  let choices: Choice[] = own.map(asDecided);
  const first = await judge(decisionsOf(choices));
  if (!first.ok) return first;
  let now = first.value;
  const givenUp = new Set<string>();
  for (let change = 0; change < MOST_CHANGES; change++) {
    interrupter(Math.min(0.8, change / 20));
    const fault = firstOf(now.faults.filter((draft) => !givenUp.has(nameOf(draft))));
    if (fault === null) break;
    const board = { choices, measured: now.facts.openings, sites, toSource, fits };
    const moves = needsFor(fault, now.facts, fluid).flatMap((need) => movesFor(need, board).map(numbered));
    const best = await bestOf(moves, now, judge);
    if (!best.ok) return best;
    if (best.value === null) givenUp.add(nameOf(fault));
    else ({ choices, judgement: now } = best.value);
  }
  const pruned = await pruneChoices(choices, now, judge, interrupter);
  if (!pruned.ok) return pruned;
  ({ choices, judgement: now } = pruned.value);
  const kept = new Set(choices.map(({ was }) => was));
  return success({
    choices,
    left: own.filter(({ id }) => !kept.has(id)),
    before: first.value,
    after: now,
    unmet: now.faults,
  });
}

interface Judged {
  readonly choices: Choice[];
  readonly judgement: Judgement;
}

/** The best of some sets that is better than what there is; null when none is. */
async function bestOf(
  moves: readonly Choice[][],
  now: Judgement,
  judge: Judge,
): Promise<Result<Judged | null>> {
  let best: Judged | null = null;
  let least = badness(now);
  for (const choices of moves) {
    const judged = await judge(decisionsOf(choices));
    if (!judged.ok) return judged;
    const bad = badness(judged.value);
    if (!isBetter(bad, least)) continue;
    least = bad;
    best = { choices, judgement: judged.value };
  }
  return success(best);
}

/** Takes back what is new, or makes it smaller, as long as nothing more is said against the rest. */
async function pruneChoices(
  all: readonly Choice[],
  judgement: Judgement,
  judge: Judge,
  interrupter: Interrupter,
): Promise<Result<Judged>> {
  let state: Judged = { choices: [...all], judgement };
  const limit = badness(judgement);
  for (let index = all.length - 1; index >= 0; index--) {
    interrupter(0.8 + (0.2 * (all.length - index)) / all.length);
    if (all[index]!.was !== null) continue;
    const pruned = await pruneChoice(state, index, limit, judge);
    if (!pruned.ok) return pruned;
    state = pruned.value;
  }
  return success({ ...state, choices: numbered(state.choices) });
}

/** One new opening taken back, else as narrow as it can be; what was worse without it is noted with it. */
async function pruneChoice(
  { choices, judgement }: Judged,
  index: number,
  limit: Badness,
  judge: Judge,
): Promise<Result<Judged>> {
  const without = choices.filter((_, at) => at !== index);
  const gone = await judge(decisionsOf(numbered(without)));
  if (!gone.ok) return gone;
  if (isAsGood(badness(gone.value), limit)) return success({ choices: without, judgement: gone.value });
  const choice = { ...choices[index]!, without: gone.value };
  let narrower: Choice['narrower'];
  for (const diameter of diametersMm) {
    if (diameter < (choice.leastMm ?? 0)) continue;
    if (diameter >= choice.decision.diameter) break;
    const tried = choices.with(index, { ...choice, decision: { ...choice.decision, diameter } });
    const judged = await judge(decisionsOf(numbered(tried)));
    if (!judged.ok) return judged;
    if (isAsGood(badness(judged.value), limit)) {
      return success({
        choices: choices.with(index, { ...tried[index]!, ...(narrower && { narrower }) }),
        judgement: judged.value,
      });
    }
    narrower = { diameterMm: diameter, judgement: judged.value };
  }
  return success({ choices: choices.with(index, { ...choice, ...(narrower && { narrower }) }), judgement });
}

const severities = ['error', 'warning', 'info'];
const rankOf = ({ code }: FindingDraft): number => severities.indexOf(findingTable[code].severity);

/** The first of the gravest. */
function firstOf(faults: readonly FindingDraft[]): FindingDraft | null {
  return faults.reduce<FindingDraft | null>(
    (gravest, fault) => (gravest === null || rankOf(fault) < rankOf(gravest) ? fault : gravest),
    null,
  );
}

/** A finding by what it is about, whatever its figures are by now. */
const nameOf = ({ code, at, opening }: FindingDraft): string => `${code} ${opening ?? at?.join() ?? ''}`;

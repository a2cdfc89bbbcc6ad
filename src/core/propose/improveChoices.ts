import type { FindingDraft } from '../kit/finding.ts';
import { findingTable } from '../kit/findingTable.ts';
import { type Result, success } from '../result.ts';
import { type Choice, decisionsOf, numbered } from './choice.ts';
import { badness, isBetter, type Judge, type Judgement, nameOf } from './judgement.ts';
import { type Board, movesFor, slantedMovesFor } from './moves.ts';
import { type Need, type NeedSetting, needsFor } from './need.ts';

/** A set of openings, and what is said of the part with it. */
export interface Judged {
  readonly choices: readonly Choice[];
  readonly judgement: Judgement;
}

/** What moves and needs depend on beside the set. */
export type ProposalSetting = Pick<
  Board,
  'sites' | 'slanted' | 'toSource' | 'towardSource' | 'fits' | 'offLights'
> &
  NeedSetting;

/** Changes made one after the other at most; each cures something, so real parts need far fewer. */
const MOST_CHANGES = 40;

/**
 * Answers finding after finding, the gravest first, by the small change that leaves the least to be said;
 * one that no change makes better is passed over.
 */
export async function improveChoices(
  start: Judged,
  setting: ProposalSetting,
  judge: Judge,
  onChange: (changes: number) => void,
): Promise<Result<Judged>> {
  let now = start;
  const givenUp = new Set<string>();
  for (let change = 0; change < MOST_CHANGES; change++) {
    onChange(change);
    const { choices, judgement } = now;
    const fault = firstOf(judgement.faults.filter((draft) => !givenUp.has(nameOf(draft))));
    if (fault === null) break;
    const board = { ...setting, choices, measured: judgement.facts.openings };
    const needs = needsFor(fault, judgement.facts, setting);
    const usual = await bestOf(movesOf(needs, board, movesFor), now, judge);
    if (!usual.ok) return usual;
    const best = isSound(usual.value)
      ? usual
      : await bestOf(movesOf(needs, board, slantedMovesFor), usual.value ?? now, judge);
    if (!best.ok) return best;
    const better = best.value ?? usual.value;
    if (better === null) givenUp.add(nameOf(fault));
    else now = better;
  }
  return success(now);
}

const movesOf = (needs: readonly Need[], board: Board, of: typeof movesFor): Choice[][] =>
  needs.flatMap((need) => of(need, board)).map(numbered);

/** Whether there is such a set, and nothing is said against its new openings themselves. */
function isSound(judged: Judged | null): boolean {
  if (judged === null) return false;
  const added = new Set(judged.choices.filter(({ was }) => was === null).map(({ decision }) => decision.id));
  return !judged.judgement.faults.some(({ opening }) => opening !== undefined && added.has(opening));
}

/** The best of some sets that is better than what there is; null when none is. */
async function bestOf(
  moves: readonly Choice[][],
  { judgement: now }: Judged,
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

const severities = ['error', 'warning', 'info'];
const rankOf = ({ code }: FindingDraft): number => severities.indexOf(findingTable[code].severity);

/** The first of the gravest. */
function firstOf(faults: readonly FindingDraft[]): FindingDraft | null {
  return faults.reduce<FindingDraft | null>(
    (gravest, fault) => (gravest === null || rankOf(fault) < rankOf(gravest) ? fault : gravest),
    null,
  );
}

import { findingTable } from '../kit/findingTable.ts';
import { partRules } from '../kit/rules/measuredRules.ts';
import type { PartContext } from '../kit/rules/ruleContext.ts';
import { type LimitUse, limitUses } from './limitUses.ts';

/** What the check makes of a part, in few figures. */
export interface Verdict {
  /** The worst first. */
  readonly uses: readonly LimitUse[];
  readonly errors: number;
  readonly warnings: number;
  readonly peakPullN: number;
  /** Of any one cup. */
  readonly peakSuctionN: number;
}

export function verdictOf(context: PartContext): Verdict {
  const drafts = partRules(context);
  const count = (severity: string) =>
    drafts.filter(({ code }) => findingTable[code].severity === severity).length;
  const { cups, peakPullN } = context.facts.loads;
  return {
    uses: limitUses(context, drafts),
    errors: count('error'),
    warnings: count('warning'),
    peakPullN,
    peakSuctionN: cups.reduce((most, cup) => Math.max(most, cup.peakPullN), 0),
  };
}

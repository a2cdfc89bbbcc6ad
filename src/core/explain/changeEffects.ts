import type { LimitUse } from './limitUses.ts';
import type { Verdict } from './verdict.ts';

/** What one changed decision makes of the part. */
export interface ChangeEffect {
  /** As in `TriedChange`. */
  readonly what: string;
  readonly after: Verdict;
  /** The use of the limit that was worst before; null when nothing is said of it any more. */
  readonly worst: LimitUse | null;
}

/** Shares nearer to each other than this are the same: the figures are no more certain than that. */
const LEAST_EFFECT = 0.005;

/**
 * Changes by what they do to the worst of the part's limits, the strongest first, for better or worse;
 * of equal ones those that leave fewer errors, then fewer warnings, then those that change the greatest
 * pull most.
 */
export function changeEffects(
  before: Verdict,
  changes: readonly { readonly what: string; readonly after: Verdict }[],
): ChangeEffect[] {
  const worst = before.uses[0];
  const effects = changes.map(({ what, after }) => ({
    what,
    after,
    worst: after.uses.find(({ code }) => code === worst?.code) ?? null,
  }));
  const strength = (effect: ChangeEffect) => Math.abs(effectOn(worst, effect));
  const pull = ({ after }: ChangeEffect) =>
    Math.abs(Math.log(atLeast(after.peakPullN) / atLeast(before.peakPullN)));
  return effects.sort(
    (a, b) =>
      compare(strength(b), strength(a)) ||
      a.after.errors - b.after.errors ||
      a.after.warnings - b.after.warnings ||
      pull(b) - pull(a),
  );
}

/** Two infinities are equal, though their difference is no number. */
const compare = (a: number, b: number): number => (a === b ? 0 : a - b);

const atLeast = (value: number): number => Math.max(value, 1e-6);

/** Above 0: better. Infinite where nothing is said of the limit any more. */
export function effectOn(worst: LimitUse | undefined, { worst: after }: ChangeEffect): number {
  if (worst === undefined) return 0;
  if (after === null) return Infinity;
  const effect = Math.log(atLeast(worst.share) / atLeast(after.share));
  return Math.abs(effect) < LEAST_EFFECT ? 0 : effect;
}

/** False where neither the worst limit, nor the number of findings, nor the pull is another. */
export function changesAnything(before: Verdict, effect: ChangeEffect): boolean {
  const { after } = effect;
  return (
    effectOn(before.uses[0], effect) !== 0 ||
    after.errors !== before.errors ||
    after.warnings !== before.warnings ||
    Math.abs(after.peakPullN - before.peakPullN) > LEAST_EFFECT * before.peakPullN ||
    Math.abs(after.peakSuctionN - before.peakSuctionN) > LEAST_EFFECT * before.peakSuctionN
  );
}

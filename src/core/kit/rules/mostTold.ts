import type { FindingDraft } from '../finding.ts';

/** A mesh can hold thousands of the same fault; beyond this many the largest are told and the rest counted. */
export const mostTold = 50;

/** Drafts for the `mostTold` largest, in their own order; the last one says how many more there are. */
export function tellLargest<T>(
  all: readonly T[],
  size: (item: T) => number,
  tell: (item: T) => FindingDraft,
): FindingDraft[] {
  if (all.length <= mostTold) return all.map(tell);
  const ranked = all.map((item, index) => ({ index, size: size(item) }));
  ranked.sort((a, b) => b.size - a.size || a.index - b.index);
  const kept = ranked.slice(0, mostTold).sort((a, b) => a.index - b.index);
  const drafts = kept.map(({ index }) => tell(all[index]!));
  const last = drafts.at(-1)!;
  const more = ` There are ${all.length - mostTold} more, smaller ones.`;
  return [...drafts.slice(0, -1), { ...last, message: last.message + more }];
}

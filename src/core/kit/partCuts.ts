import type { PartCut } from '../cut/cutDecision.ts';
import type { Part } from './manifest.ts';

/** The cuts that leave a part, one after the other, without those that the manifest does not describe. */
export function partCuts({ cuts }: Part): (PartCut & { readonly name: string })[] {
  return cuts.flatMap(({ name, side, cut }) => (cut === null ? [] : [{ name, side, cut }]));
}

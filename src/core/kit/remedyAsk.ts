import type { OpeningId } from '../openings/opening.ts';

/** A remedy that has to be looked for, as the engine is asked for it. */
export type RemedyAsk =
  /** The nearest place on the surface where this opening is good. */
  | { readonly kind: 'find-place'; readonly opening: OpeningId }
  /** The largest wall with which the part is hollow or, where it is, no thick lump stays solid. */
  | { readonly kind: 'find-wall' };

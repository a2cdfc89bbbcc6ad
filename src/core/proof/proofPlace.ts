import type { OpeningId } from '../openings/opening.ts';
import type { Box, Vec3 } from '../vector.ts';

export type ProofKind = 'opening' | 'ceiling' | 'wall' | 'key' | 'place';

/** What a proof piece is to show. Print frame, mm. */
export interface ProofPlace {
  readonly kind: ProofKind;
  readonly opening: OpeningId | null;
  /** The seam that a key belongs to, in the order of the part's cuts; absent for what is no key. */
  readonly seam?: number;
  readonly at: Vec3;
  /** What the piece should hold, walls round it included. */
  readonly feature: Box;
  /** An opening or a key is shown whole or not at all; of a wide ceiling or wall a part does too. */
  readonly whole: boolean;
  /** A sentence: what it is, and why this one. */
  readonly why: string;
}

/** How the builder names what he wants to see; null leaves the choice to Kitwright. */
export type ProofAsk =
  | { readonly kind: 'opening'; readonly id: OpeningId }
  | { readonly kind: 'ceiling' }
  | { readonly kind: 'wall' }
  /** One key of its seams, counted through all of them in their order. */
  | { readonly kind: 'key'; readonly index: number }
  /** Print frame. */
  | { readonly kind: 'place'; readonly at: Vec3 };

import type { KitTotals, PartFigures } from '../core/kit/kitTotals.ts';
import type { PartStateKind } from '../core/kit/partState.ts';
import type { SurfacePiece } from './surfacePiece.ts';

/** What the page of the whole kit shows, but for the surfaces, which come on their own. The host sends the whole state. */
export type KitViewState =
  | { readonly kind: 'kit'; readonly kit: KitPicture }
  | { readonly kind: 'empty'; readonly hint: string };

export interface KitPicture {
  readonly name: string;
  /** In the manifest's order. */
  readonly parts: readonly KitPart[];
  readonly totals: KitTotals;
}

export interface KitPart {
  readonly name: string;
  /** Key of its outside, source axes at finished size; null while that is not known. */
  readonly key: string | null;
  /** Why it cannot be drawn; null where it can, or where that is not known yet. */
  readonly problem: string | null;
  readonly state: PartStateKind;
  /** The state with what it is about. */
  readonly words: string;
  readonly resin: string | null;
  readonly copies: number;
  /** Null before it is measured. */
  readonly figures: PartFigures | null;
}

/** The page's methods, called by the host. */
export type KitPageMethods = {
  show: { params: KitViewState; progress: never; result: null };
  /** One piece at a time: the next one is sent when this is answered. */
  surface: { params: SurfacePiece; progress: never; result: null };
};

/** The host's methods, called by the page. */
export type KitHostMethods = {
  /** Sent once the page listens; the host answers by calling `show`. */
  ready: { params: null; progress: never; result: null };
  /** To the part in the manifest. */
  goToPart: { params: { readonly part: string }; progress: never; result: null };
  /** The part on the turntable. */
  showPart: { params: { readonly part: string }; progress: never; result: null };
};

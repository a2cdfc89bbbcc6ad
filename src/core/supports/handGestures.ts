import type { SupportGesture } from '../kit/supportEdits.ts';
import { norm, subtract, type Vec3 } from '../vector.ts';
import { SNAP_MM } from './planSupports.ts';
import type { HandPlaced } from './supportDecision.ts';

/** A tip stands no farther from what the manifest says of it, mm: the snap, and what a layer may round. */
const SETTLED_MM = SNAP_MM + 0.5;

/** A support that there is. */
export interface StandingTip {
  /** Print frame, mm, and in source coordinates. */
  readonly at: Vec3;
  readonly atSource: Vec3;
  /** Its place in the builder's list; null where it was planned. */
  readonly byHand: number | null;
}

/** A support as it is to be, in both frames; `tipMm` is the least width of its tip. */
export interface WantedTip extends Omit<StandingTip, 'byHand'> {
  readonly tipMm: number;
}

/** Whether the builder's list still has a support where it was seen; its place in that list may be another's by now. */
export function isStillThere(
  { byHand, atSource }: StandingTip,
  own: readonly HandPlaced[],
  factor: number,
): boolean {
  if (byHand === null) return true;
  const listed = own.find(({ index }) => index === byHand);
  return listed !== undefined && factor * norm(subtract(listed.at, atSource)) <= SETTLED_MM;
}

/**
 * What the manifest says when a support stands elsewhere, or with another tip. A planned one that leaves its place
 * further than the spacing that the plan came to would grow again there, so that place is kept free.
 */
export function placingGestures(
  was: StandingTip | null,
  { at, atSource, tipMm }: WantedTip,
  spacingMm: number,
  planSpacingMm: number,
): SupportGesture[] {
  if (was !== null && was.byHand !== null) {
    return [{ kind: 'change', index: was.byHand, at: atSource, tip: tipMm }];
  }
  const leaves = was !== null && norm(subtract(at, was.at)) > planSpacingMm;
  return [...(leaves ? [keptFree(was, spacingMm)] : []), { kind: 'place', at: atSource, tip: tipMm }];
}

/** What the manifest says when a support is to go. */
export function removingGestures(was: StandingTip, spacingMm: number): SupportGesture[] {
  return [was.byHand === null ? keptFree(was, spacingMm) : { kind: 'remove', index: was.byHand }];
}

const keptFree = ({ atSource }: StandingTip, spacingMm: number): SupportGesture => ({
  kind: 'keep-free',
  at: atSource,
  radius: spacingMm / 2,
});

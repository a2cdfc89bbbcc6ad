import type { OpeningId, OpeningKind } from '../../src/core/openings/opening.ts';
import { scale, type Vec3 } from '../../src/core/vector.ts';
import type { OpeningCandidate } from '../../src/protocol/openingTrial.ts';
import type { OpeningView, TipView } from '../../src/protocol/partView.ts';
import type { SupportCandidate } from '../../src/protocol/supportTrial.ts';
import type { SurfacePoint } from './surfacePicker.ts';

/** An opening or a support in hand: one of the part's, or a new one that is not placed yet. Print frame, mm. */
export type Held = HeldOpening | HeldSupport;

export interface HeldOpening extends OpeningCandidate {
  readonly facing: Vec3;
}

export interface HeldSupport extends SupportCandidate {
  readonly kind: 'support';
  readonly facing: Vec3;
  /** Its number among the part's; null = a new one. */
  readonly id: number | null;
}

export type HeldKind = OpeningKind | 'support';

/** What the manifest takes for a diameter, mm. */
const bounds = { opening: [0.2, 300], support: [0.1, 10] } as const;
const down: Vec3 = [0, 0, -1];

/** A passage stays on its seam and belongs to two halves, so the manifest alone moves it. */
export const isHeldByHand = ({ kind }: OpeningView): boolean => kind !== 'passage';

export function heldOpening({ id, kind, mouth, axis, radius }: OpeningView): HeldOpening {
  return { id, kind, at: mouth, facing: scale(axis, -1), diameter: 2 * radius };
}

export function heldSupport(tip: TipView, id: number): HeldSupport {
  const { at, byHand, widthMm } = tip;
  return { kind: 'support', id, at, facing: down, diameter: widthMm, was: { at, byHand } };
}

export function newHeld(kind: HeldKind, { at, facing }: SurfacePoint, diameter: number): Held {
  if (kind === 'support') {
    return { kind, id: null, at, facing: down, diameter: fitting(kind, diameter), was: null };
  }
  return { id: null, kind, at, facing, diameter: fitting(kind, diameter) };
}

export function movedTo(held: Held, { at, facing }: SurfacePoint): Held {
  return held.kind === 'support' ? { ...held, at } : { ...held, at, facing };
}

/** In steps, so that the manifest keeps round figures. */
export function sized(held: Held, diameter: number, step: number): Held {
  const rounded = Math.round(Math.round(diameter / step) * step * 1000) / 1000;
  return { ...held, diameter: fitting(held.kind, rounded) };
}

export function fitting(kind: HeldKind, diameter: number): number {
  const [least, most] = bounds[kind === 'support' ? 'support' : 'opening'];
  return Math.min(most, Math.max(least, diameter));
}

export function openingCandidate({ id, kind, at, diameter }: HeldOpening): OpeningCandidate {
  return { id, kind, at, diameter };
}

export function supportCandidate({ was, at, diameter }: HeldSupport): SupportCandidate {
  return { was, at, diameter };
}

/** Whether both are the same thing in the same place. */
export function isSameHeld(a: Held, b: Held): boolean {
  const plain = ({ kind, id, at, diameter }: Held): string => JSON.stringify([kind, id, at, diameter]);
  return plain(a) === plain(b);
}

export const isOpeningId = (id: Held['id']): id is OpeningId => typeof id === 'string';

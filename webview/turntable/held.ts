import type { OpeningKind } from '../../src/core/openings/opening.ts';
import { scale, type Vec3 } from '../../src/core/vector.ts';
import type { OpeningCandidate } from '../../src/protocol/openingTrial.ts';
import type { OpeningView } from '../../src/protocol/partView.ts';
import type { SurfacePoint } from './surfacePicker.ts';

/** An opening in hand: one of the part's, or a new one that is not placed yet. */
export interface Held extends OpeningCandidate {
  readonly facing: Vec3;
}

/** What the manifest takes for a diameter, mm. */
const least = 0.2;
const most = 300;

export function heldOpening({ id, kind, mouth, axis, radius }: OpeningView): Held {
  return { id, kind, at: mouth, facing: scale(axis, -1), diameter: 2 * radius };
}

export function newOpening(kind: OpeningKind, { at, facing }: SurfacePoint, diameter: number): Held {
  return { id: null, kind, at, facing, diameter: fitting(diameter) };
}

export function movedTo(held: Held, { at, facing }: SurfacePoint): Held {
  return { ...held, at, facing };
}

/** In steps, so that the manifest keeps round figures. */
export function sized(held: Held, diameter: number, step: number): Held {
  return { ...held, diameter: fitting(Math.round(Math.round(diameter / step) * step * 1000) / 1000) };
}

export function fitting(diameter: number): number {
  return Math.min(most, Math.max(least, diameter));
}

export function candidateOf({ id, kind, at, diameter }: Held): OpeningCandidate {
  return { id, kind, at, diameter };
}

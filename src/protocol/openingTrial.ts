import type { Severity } from '../core/kit/finding.ts';
import type { FindingCode } from '../core/kit/findingTable.ts';
import type { OpeningId, OpeningKind } from '../core/openings/opening.ts';
import type { Vec3 } from '../core/vector.ts';
import type { OpeningView } from './partView.ts';

/** An opening as it is pointed at on the turntable: in place of one that there is, or one more. */
export interface OpeningCandidate {
  /** The opening it takes the place of; null = one more. */
  readonly id: OpeningId | null;
  readonly kind: OpeningKind;
  /** Print frame, mm: a point of the surface as drawn, which lies near the real one. */
  readonly at: Vec3;
  /** mm in print. */
  readonly diameter: number;
}

/** What a candidate would change. Nothing of it is kept. */
export interface OpeningTrial {
  /** As the manifest would call it. */
  readonly id: OpeningId;
  /** For the manifest: source coordinates on the surface, rounded to a hundredth of a mm in print. */
  readonly at: Vec3;
  /** Null when it lies off the surface. */
  readonly placed: OpeningView | null;
  readonly before: TrialFigures;
  readonly after: TrialFigures;
  /** What the check would say about this opening. */
  readonly said: readonly {
    readonly code: FindingCode;
    readonly severity: Severity;
    readonly message: string;
  }[];
}

/** Of the whole part. */
export interface TrialFigures {
  /** First layer from which every cup breathes; null when one never does or there is none. */
  readonly breathesLayer: number | null;
  /** Cups that never breathe. */
  readonly sealedCups: number;
  /** Most that one cup pulls, N. */
  readonly suctionN: number;
  /** Worst layer's whole pull, N. */
  readonly pullN: number;
  /** Liquid left in the chambers as the part hangs, ml. */
  readonly trappedMl: number;
}

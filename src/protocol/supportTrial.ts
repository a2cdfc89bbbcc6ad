import type { Severity } from '../core/kit/finding.ts';
import type { FindingCode } from '../core/kit/findingTable.ts';
import type { SupportGesture } from '../core/kit/supportEdits.ts';
import type { Vec3 } from '../core/vector.ts';
import type { TipView } from './partView.ts';

/** A support as it is pointed at on the turntable: in place of one that there is, or one more. */
export interface SupportCandidate {
  /** The one it takes the place of; null = one more. */
  readonly was: Pick<TipView, 'at' | 'byHand'> | null;
  /** Print frame, mm: a point of the surface as drawn, which lies near the underside that is meant. */
  readonly at: Vec3;
  /** Least width of its tip, mm in print. */
  readonly diameter: number;
}

/** What a candidate would change. Nothing of it is kept. */
export interface SupportTrial {
  /** What would be written into the manifest. */
  readonly gestures: readonly SupportGesture[];
  /** The support as it would be; null where it holds nothing. */
  readonly tip: TipView | null;
  readonly before: SupportFigures | null;
  readonly after: SupportFigures;
  /**
   * Whether the check will say just this once it is written. Otherwise the tips stand as near to each other, and under
   * as steep surface, as the part's plan came to, and the check may come to other tips.
   */
  readonly asPlanned: boolean;
  /** What the check would say of it, or of how the part is held with it. */
  readonly said: readonly {
    readonly code: FindingCode;
    readonly severity: Severity;
    readonly message: string;
  }[];
}

/** Of all supports of the part. */
export interface SupportFigures {
  readonly count: number;
  /** How many times its load the weakest tip, or the plate, can take; null where nothing pulls. */
  readonly reserve: number | null;
  readonly reserveLayer: number | null;
  /** Starts that nothing holds. */
  readonly unheld: number;
}

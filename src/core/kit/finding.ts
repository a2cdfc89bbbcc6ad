import type { OpeningId } from '../openings/opening.ts';
import type { Vec3 } from '../vector.ts';
import type { FindingCode } from './findingTable.ts';
import type { ManifestPath } from './manifest.ts';

export type Severity = 'error' | 'warning' | 'info';

/**
 * What would answer a finding, as measured or reckoned where it was found: a quick fix is a text edit
 * made from it alone. Lengths in print mm, points in the print frame; of `opening`, or of the opening
 * the finding is about where none is named.
 */
export type Remedy =
  /** Make the opening this wide, or drill it this deep. */
  | { readonly kind: 'diameter' | 'depth'; readonly value: number; readonly opening?: OpeningId }
  /** Put the opening's mouth here. */
  | { readonly kind: 'move'; readonly at: Vec3; readonly opening?: OpeningId }
  /** Take the opening out: it does nothing, or does it in no place. */
  | { readonly kind: 'remove'; readonly opening?: OpeningId }
  /** Give the part this wall. */
  | { readonly kind: 'wall'; readonly value: number }
  /** What has to be looked for when it is asked for: see `RemedyAsk`. */
  | { readonly kind: 'find-place'; readonly opening?: OpeningId }
  | { readonly kind: 'find-wall' }
  /** Hold the part so for the wash, as turns of the STL. */
  | { readonly kind: 'wash'; readonly turn: Vec3 }
  /** Turn the part so, degrees about the plate's axes. */
  | { readonly kind: 'turn'; readonly turn: Vec3 }
  /** Print the whole kit at this factor, print mm per source unit. */
  | { readonly kind: 'factor'; readonly value: number }
  /** Print the part solid. */
  | { readonly kind: 'solid' }
  /** Which openings the part lacks is for the proposal to say. */
  | { readonly kind: 'propose' };

/** What a rule says: one thing, its figures, its place in the manifest and in the part (print frame). */
export interface FindingDraft {
  readonly code: FindingCode;
  readonly part: string | null;
  /** One sentence with figures and units. */
  readonly message: string;
  readonly path: ManifestPath;
  /** Point at the key instead of the value. */
  readonly atKey?: boolean;
  /** UTF-16 offsets into the manifest, for a fault at a place that no path leads to. */
  readonly span?: { readonly start: number; readonly end: number };
  readonly layer?: number;
  readonly at?: Vec3;
  readonly measured?: number;
  readonly limit?: number;
  readonly unit?: string;
  readonly opening?: OpeningId;
  /** What would answer it, the best first. */
  readonly remedies?: readonly Remedy[];
}

/** A finding as reported (contract, `check --json`). `number` is the flag's number on the turntable. */
export interface Finding {
  readonly number: number;
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly part: string | null;
  readonly message: string;
  /** Relative to the kit folder, `/` separated. */
  readonly file: string;
  /** 1-based, UTF-16. */
  readonly line: number;
  readonly column: number;
  readonly end_line: number;
  readonly end_column: number;
  readonly layer: number | null;
  readonly at: Vec3 | null;
  readonly at_source: Vec3 | null;
  readonly measured: number | null;
  readonly limit: number | null;
  readonly unit: string | null;
  readonly opening: OpeningId | null;
  readonly remedies: readonly ReportedRemedy[];
}

/** A remedy as reported: the same keys for every kind, null where one does not apply. `value` in mm, `turn` in degrees. */
export interface ReportedRemedy {
  readonly kind: Remedy['kind'];
  readonly opening: OpeningId | null;
  readonly value: number | null;
  readonly at: Vec3 | null;
  readonly at_source: Vec3 | null;
  readonly turn: Vec3 | null;
}

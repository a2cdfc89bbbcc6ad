/**
 * Failures are values. A function that can fail on what the outside world hands it returns a
 * `Result`; a throw means a defect in Kitwright itself (or a cancel, see `interrupter.ts`).
 * A code is stable and testable; the sentence says what happened and what to do about it.
 */
export type FailureCode =
  | 'stl-empty'
  | 'stl-truncated'
  | 'stl-not-stl'
  | 'stl-no-triangles'
  | 'stl-not-finite'
  | 'stl-too-large'
  | 'file-missing'
  | 'file-unreadable'
  | 'file-too-large'
  | 'file-unwritable'
  | 'manifest-unreadable'
  | 'ledger-missing'
  | 'ledger-unreadable'
  | 'journal-unreadable'
  | 'revision-unknown'
  | 'part-unknown'
  | 'option-invalid'
  | 'grid-too-large'
  | 'solid-not-closed'
  | 'solid-timeout'
  | 'solid-failed'
  | 'part-has-errors'
  | 'coupon-unlikely'
  | 'place-unknown'
  | 'place-outside'
  | 'engine-stopped'
  | 'cancelled'
  | 'internal';

export interface Failure {
  readonly code: FailureCode;
  readonly message: string;
}

export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: Failure };

export function success<T>(value: T): Result<T> {
  return { ok: true, value };
}

export function failure(code: FailureCode, message: string): { readonly ok: false; readonly error: Failure } {
  return { ok: false, error: { code, message } };
}

import type { Vec3 } from '../vector.ts';
import type { BodyMeasure, Sex } from './bodyMeasures.ts';

/** What a length of the STL is known to be: on the subject, by a published mean, or in print. Lengths mm. */
export type KnownAs =
  | { readonly kind: 'subject'; readonly mm: number }
  | { readonly kind: 'measure'; readonly measure: BodyMeasure; readonly sex: Sex | null }
  | { readonly kind: 'print'; readonly mm: number };

/** A length in the STL files of which is known how long it is elsewhere. */
export interface KnownLength {
  /** In the manifest's list; null where it is the only one, not in a list. */
  readonly index: number | null;
  /** Source units. */
  readonly source: number;
  /** Its ends, source coordinates, where they are told. */
  readonly between: readonly [Vec3, Vec3] | null;
  readonly known: KnownAs;
}

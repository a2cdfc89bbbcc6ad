import type { Vec3 } from '../vector.ts';

/** How a resin, as it is exposed on a machine, comes out other than it was drawn. */
export interface TrueSize {
  /** Share by which lengths along the plate's x, along its y and upright come out shorter. */
  readonly shrinkage: Vec3;
  /** mm by which the outline of the base layers grows outward, all round. */
  readonly spreadMm: number;
  /** mm by which the diameter of a bore comes out smaller, shrinkage left out. */
  readonly boreLossMm: number;
  /** Which of them somebody has found out; the others stand at 0 because they are not known. */
  readonly measured: { readonly shrinkage: boolean; readonly spread: boolean };
}

export const asDrawn: TrueSize = {
  shrinkage: [0, 0, 0],
  spreadMm: 0,
  boreLossMm: 0,
  measured: { shrinkage: false, spread: false },
};

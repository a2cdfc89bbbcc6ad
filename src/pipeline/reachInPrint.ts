import { type Affine, applyAffine } from '../core/affine.ts';
import type { ChamberReach } from '../core/reach/chamberReach.ts';

/** A reach on the posed part; `toPrint` leads from the frame of the cells, a turn and a shift. */
export const reachInPrint = (reach: ChamberReach, toPrint: Affine): ChamberReach => ({
  ...reach,
  farthestAt: applyAffine(toPrint, reach.farthestAt),
  unlitAt: reach.unlitAt && applyAffine(toPrint, reach.unlitAt),
  unrinsedAt: reach.unrinsedAt && applyAffine(toPrint, reach.unrinsedAt),
});

import { type Affine, applyAffine } from '../core/affine.ts';
import type { ChamberDrain, PosedDrain } from '../core/drainage/chamberDrain.ts';

/** A drain on the posed part; `toPrint` leads from the frame of the cells, a turn and a shift. */
export function drainInPrint(drain: ChamberDrain, toPrint: Affine): PosedDrain {
  return {
    ...drain,
    pond: drain.pond && { ...drain.pond, at: applyAffine(toPrint, drain.pond.at) },
    downInPrint: applyAffine({ linear: toPrint.linear, shift: [0, 0, 0] }, drain.down),
  };
}

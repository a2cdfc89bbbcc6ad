import type { Affine } from '../core/affine.ts';
import type { ChamberCells } from '../core/chambers/chamberCells.ts';
import type { ChamberBlocks } from '../core/drainage/chamberBlocks.ts';

/** The chambers of a part as cells and as blocks of them, in one frame, and the way from there to the print frame. */
export interface ChamberSpace {
  readonly cells: ChamberCells;
  readonly blocks: ChamberBlocks;
  readonly toPrint: Affine;
}

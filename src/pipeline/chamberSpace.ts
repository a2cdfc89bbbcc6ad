import type { Affine } from '../core/affine.ts';
import type { ChamberCells } from '../core/chambers/chamberCells.ts';
import type { ChamberBlocks } from '../core/drainage/chamberBlocks.ts';

/** Blocks of one chamber: fine ones for its ways and what stays in it, a few hundred for the search of an attitude. */
export interface BlockedChamber {
  readonly fine: ChamberBlocks;
  readonly coarse: ChamberBlocks;
}

/** The chambers of a part as cells and as blocks of them, in one frame, and the way from there to the print frame. */
export interface ChamberSpace {
  readonly cells: ChamberCells;
  /** By chamber. */
  readonly blocks: readonly BlockedChamber[];
  readonly toPrint: Affine;
}

import type { Affine } from '../affine.ts';
import type { FigureBalance, FigurePart } from './balanceFigure.ts';

/** What is known of the figure put together. */
export interface FigureFacts {
  readonly figure: FigureBalance;
  readonly parts: readonly FigurePart[];
  /** From the figure's frame to the print frame of the part it stands on. */
  readonly toPrint: Affine;
  /** Parts of the manifest that are not in it: not measured, not closed, or mirror images only. */
  readonly leftOut: readonly string[];
}

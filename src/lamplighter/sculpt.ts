import type { Box } from '../core/vector.ts';
import type { Field } from './field.ts';

/** One closed body of a part: its field, where it lies, and how finely it is cut into triangles. */
export interface Body {
  readonly field: Field;
  readonly box: Box;
  /** Lattice spacing, sculpt units. */
  readonly cell: number;
  /** Triangles after simplification. */
  readonly triangles: number;
  /** Sum of the depths of the detail laid on the surface; 1 when left out. */
  readonly slack?: number;
  /** Heights at which the body was sawn flat: vertices there are put exactly on the saw cut. */
  readonly sawnAt?: readonly number[];
}

/** A part as the sculptor delivers it: bodies that overlap freely. */
export type Sculpt = readonly Body[];

export function boxOf(x0: number, y0: number, z0: number, x1: number, y1: number, z1: number): Box {
  return { min: [x0, y0, z0], max: [x1, y1, z1] };
}

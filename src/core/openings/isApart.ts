import { norm, subtract, type Vec3 } from '../vector.ts';
import type { PlacedOpening } from './opening.ts';

/** Solid left between two bores, mm. */
export const BETWEEN_MM = 2;

/** Whether something stands between a mouth of that radius and those that there are. */
export const isApart = (mouth: Vec3, radius: number, others: readonly PlacedOpening[]): boolean =>
  others.every((other) => norm(subtract(other.mouth, mouth)) >= other.radius + radius + BETWEEN_MM);

import type { Box, Vec3 } from '../vector.ts';

/** The bounds of all; null of none. */
export function boxAround(boxes: readonly Box[]): Box | null {
  if (boxes.length === 0) return null;
  const along = (pick: (...values: number[]) => number, end: keyof Box): Vec3 =>
    boxes
      .map((box) => box[end])
      .reduce((far, point) => [pick(far[0], point[0]), pick(far[1], point[1]), pick(far[2], point[2])]);
  return { min: along(Math.min, 'min'), max: along(Math.max, 'max') };
}

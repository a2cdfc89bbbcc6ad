import { failure, type Result, success } from '../result.ts';
import type { Box, Vec3 } from '../vector.ts';
import type { ProofPlace } from './proofPlace.ts';

/** What a piece measures along each side where nothing else is asked, mm; up to the greatest where the feature asks for more. */
export const usualSizeMm = 30;
const greatestUsualMm = 90;
/** How many heights of the lower cut are looked at. */
const cuts = 6;

export interface ProofBoxes {
  /** Along each side, mm. */
  readonly sizeMm: number;
  /** Cubes that hold the place, the one it lies in the middle of first, the others cut ever higher. */
  readonly boxes: readonly Box[];
  /** False where the feature is wider than the piece. */
  readonly holdsAll: boolean;
}

/**
 * The boxes that a piece may be cut out by: round the feature in x and y, never below the plate, their
 * lower face on a layer's, so that the piece is sliced as the part is. `sizeMm`: null = as the feature asks.
 *
 * Fails `option-invalid` where a feature that has to be whole does not fit the size asked for.
 */
export function proofBoxes(
  { feature, whole }: ProofPlace,
  sizeMm: number | null,
  layerMm: number,
): Result<ProofBoxes> {
  const needed = Math.max(...feature.max.map((high, axis) => high - feature.min[axis]!)) + 2 * layerMm;
  const wanted = Math.max(usualSizeMm, Math.ceil(needed));
  const size = sizeMm ?? (whole ? wanted : Math.min(greatestUsualMm, wanted));
  const holdsAll = size >= needed;
  if (whole && !holdsAll) {
    return failure(
      'option-invalid',
      `A piece of ${size} mm does not hold it with the walls round it: it takes ${Math.ceil(needed)} mm.`,
    );
  }
  const onLayer = (z: number): number => Math.round(z / layerMm) * layerMm;
  const middle = (axis: 0 | 1 | 2): number => (feature.min[axis] + feature.max[axis]) / 2;
  const lowest = onLayer(Math.max(0, middle(2) - size / 2));
  const highest = Math.max(lowest, Math.floor(feature.min[2] / layerMm) * layerMm);
  const boxAt = (bottom: number): Box => ({
    min: [middle(0) - size / 2, middle(1) - size / 2, bottom],
    max: [middle(0) + size / 2, middle(1) + size / 2, bottom + size],
  });
  const bottoms = Array.from({ length: cuts }, (_, n) =>
    onLayer(lowest + ((highest - lowest) * n) / (cuts - 1)),
  );
  return success({ sizeMm: size, boxes: [...new Set(bottoms)].map(boxAt), holdsAll });
}

/** The smallest box round all of them. */
export function boxRound(boxes: readonly Box[]): Box {
  const side = (of: (box: Box) => Vec3, pick: (...values: number[]) => number): Vec3 =>
    [0, 1, 2].map((axis) => pick(...boxes.map((box) => of(box)[axis]!))) as unknown as Vec3;
  return { min: side(({ min }) => min, Math.min), max: side(({ max }) => max, Math.max) };
}

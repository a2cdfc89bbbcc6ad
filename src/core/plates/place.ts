export type Point = readonly [x: number, y: number];

/** Where a part stands: the middle of its bounding box as posed on the plate, mm from the plate's middle; degrees about z round there. */
export interface Place {
  readonly at: Point;
  readonly spin: number;
}

/** Cosine and sine of degrees, exact for quarter turns. */
export function turnBy(degrees: number): readonly [cos: number, sin: number] {
  const quarters = (((degrees % 360) + 360) % 360) / 90;
  if (Number.isInteger(quarters))
    return (
      [
        [1, 0],
        [0, 1],
        [-1, 0],
        [0, -1],
      ] as const
    )[quarters % 4]!;
  const turn = (degrees * Math.PI) / 180;
  return [Math.cos(turn), Math.sin(turn)];
}

export const isQuarterTurn = (degrees: number): boolean => degrees % 90 === 0;

/**
 * The coupon that is printed to learn how a resin comes out, print frame, mm: two arms along x and y from one
 * corner, a post on the corner, and an upright hole through each arm. It stands flat on the plate without supports.
 */
export const coupon = {
  /** Length of both arms, from the outer faces of the corner. */
  armMm: 60,
  armWidthMm: 14,
  armHeightMm: 6,
  /** From the top of the arms to the top of the post. */
  postMm: 30,
  /** Of both holes, and the middles of them from the arms' ends. */
  holeMm: 8,
  holeFromEndMm: 10,
} as const;

/** What is measured on the printed and cured coupon, mm; null = not measured. */
export interface CouponMeasures {
  /** Along each arm, above the base layers. */
  readonly x: number | null;
  readonly y: number | null;
  /** From the top of an arm to the top of the post. */
  readonly z: number | null;
  /** Along the x arm where it stood on the plate, at the widest. */
  readonly foot: number | null;
  /** Across a hole above the base layers, the mean of several. */
  readonly hole: number | null;
}

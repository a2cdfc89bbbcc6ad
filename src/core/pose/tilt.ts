/** Degrees about plate x, then y; then about z where that is not left to the plate. */
export type Tilt = readonly [turnX: number, turnY: number, turnZ?: number];

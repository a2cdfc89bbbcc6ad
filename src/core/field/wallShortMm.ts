/** A wall comes out thinner than asked for by no more than this, mm: what the field is accurate to. */
export const WALL_SHORT_MM = 0.1;

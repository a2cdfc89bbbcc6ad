/** Nodes along a brick's edge. */
export const BRICK = 8;
export const BRICK_NODES = BRICK * BRICK * BRICK;

/** Node (i, j, k) lies at origin + spacing·(i, j, k); counts are in bricks of 8 nodes. */
export interface FieldLattice {
  readonly origin: readonly [number, number, number];
  readonly spacing: number;
  readonly bricks: readonly [number, number, number];
}

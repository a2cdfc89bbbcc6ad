import type { Vec3 } from '../vector.ts';

/**
 * The chambers of a part as cubes, for what asks which way liquid, air or light can go in them: lobes and
 * necks, draining in any attitude, reach. Frame: source axes at finished size, mm (that of `Cavity`), so
 * that a new pose keeps them. Only cells whose middle lies in a chamber are listed, in ascending order of
 * their index x + size[0]·(y + size[1]·z).
 */
export interface ChamberCells {
  /** Corner of the cell with index 0. */
  readonly origin: Vec3;
  readonly spacing: number;
  readonly size: Vec3;
  readonly index: Uint32Array;
  /** By listed cell: chamber (as in `Cavity.chambers`), and distance of its middle from the chamber's wall, mm. */
  readonly chamber: Uint16Array;
  readonly clearance: Float32Array;
}

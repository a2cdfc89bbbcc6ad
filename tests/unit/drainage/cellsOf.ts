import type { ChamberCells } from '../../../src/core/chambers/chamberCells.ts';
import type { Vec3 } from '../../../src/core/vector.ts';

/** Depth below the wall of a chamber at a point, mm; negative outside. */
export type Depth = (point: Vec3) => number;

/** Cells of chambers given by their depths, exact at the cells' middles. */
export function cellsOf(depths: readonly Depth[], min: Vec3, max: Vec3, spacing: number): ChamberCells {
  const size = min.map((low, axis) => Math.ceil((max[axis]! - low) / spacing - 1e-9)) as unknown as Vec3;
  const index: number[] = [];
  const chamber: number[] = [];
  const clearance: number[] = [];
  for (let z = 0; z < size[2]; z++) {
    for (let y = 0; y < size[1]; y++) {
      for (let x = 0; x < size[0]; x++) {
        const at: Vec3 = [x, y, z].map((step, axis) => min[axis]! + (step + 0.5) * spacing) as never;
        depths.forEach((depth, number) => {
          const deep = depth(at);
          if (deep <= 0) return;
          index.push(x + size[0] * (y + size[1] * z));
          chamber.push(number);
          clearance.push(deep);
        });
      }
    }
  }
  return {
    origin: min,
    spacing,
    size,
    index: Uint32Array.from(index),
    chamber: Uint16Array.from(chamber),
    clearance: Float32Array.from(clearance),
  };
}

export const ball =
  (centre: Vec3, radius: number): Depth =>
  ([x, y, z]) =>
    radius - Math.hypot(x - centre[0], y - centre[1], z - centre[2]);

export const block =
  (min: Vec3, max: Vec3): Depth =>
  (point) =>
    Math.min(...point.map((c, axis) => Math.min(c - min[axis]!, max[axis]! - c)));

/** About z, ring radius R, tube radius r. */
export const ring =
  (ringRadius: number, tubeRadius: number): Depth =>
  ([x, y, z]) =>
    tubeRadius - Math.hypot(Math.hypot(x, y) - ringRadius, z);

/** What lies in any of them; depths inside are those of the deepest, so told a little low at joints. */
export const together =
  (...depths: readonly Depth[]): Depth =>
  (point) =>
    Math.max(...depths.map((depth) => depth(point)));

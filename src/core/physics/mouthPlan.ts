import { add, scale, type Vec3 } from '../vector.ts';
import { boreLength, type LoadOpening } from './printedOpening.ts';

/** The chamber's end of an opening as seen from above, as far as it is printed. Print frame, mm. */
export interface Mouth {
  /** Of its middle, of the circle around it in plan, and of that around its bore. */
  readonly at: readonly [x: number, y: number];
  readonly radius: number;
  readonly boreReach: number;
  /** Direction of the bore in plan, into the chamber; shorter the steeper it is, none where it is level with the film. */
  readonly inward: readonly [x: number, y: number];
  /** Heights between which void counts as in front of it: the bore goes on into the chamber. */
  readonly low: number;
  readonly high: number;
  /** Of its edge at the plate's side: printed first. */
  readonly edge: number;
  /** From a point to the printed part in plan; 0 within it. */
  away(x: number, y: number, film: number): number;
  /** Whether a point lies in the bore as seen from above, as far as it is printed: a wall in there is cut away. */
  isInBore(x: number, y: number, film: number): boolean;
  /** Of a round mouth in plan that feeds a film as well: a slit of width w is as good as one of radius w/4. */
  planRadius(film: number): number;
}

export const isPrinted = (mouth: Mouth, film: number): boolean => film > mouth.edge;

/** Floors are known to half a layer. */
const tolerance = 0.05;

/** A disc across the bore. Level with the film it shows as itself; upright, as the chord at the film's side. */
export function mouthPlan(opening: LoadOpening): Mouth {
  const { placed } = opening;
  const { mouth, axis, radius } = placed;
  const [x0, y0, z0]: Vec3 = add(mouth, scale(axis, boreLength(opening) * 1000));
  const wall = boreLength(opening) * 1000;
  const beyond = Math.max(0, placed.depth - wall);
  const drilledTo = z0 + axis[2] * beyond;
  const upright = Math.hypot(axis[0], axis[1]);
  const flat = Math.abs(axis[2]);
  // In plan the disc is an ellipse: full radius across the bore's way, shortened along it.
  const [ux, uy] = upright > 1e-9 ? [axis[0] / upright, axis[1] / upright] : [1, 0];
  /** Half the width of the printed part across the bore. */
  const halfWidth = (film: number): number => {
    const rise = upright > 1e-9 ? Math.min(1, Math.max(-1, (film - z0) / (radius * upright))) : 1;
    return rise >= 0 ? radius : radius * Math.sqrt(1 - rise * rise);
  };
  return {
    at: [x0, y0],
    radius,
    boreReach: radius + upright * Math.max(wall, beyond),
    inward: [axis[0], axis[1]],
    low: Math.min(z0, drilledTo) - radius * upright - tolerance,
    high: Math.max(z0, drilledTo) + radius * upright + tolerance,
    edge: z0 - radius * upright,
    away(x, y, film) {
      const along = Math.abs((x - x0) * ux + (y - y0) * uy);
      const across = Math.abs((y - y0) * ux - (x - x0) * uy);
      const half = halfWidth(film);
      if (half <= 0) return Math.hypot(along, across);
      const share = Math.min(1, across / radius);
      const reach = flat * radius * Math.sqrt(1 - share * share);
      return Math.hypot(Math.max(0, along - reach), Math.max(0, across - half));
    },
    isInBore(x, y, film) {
      const along = (x - x0) * ux + (y - y0) * uy;
      const across = Math.abs((y - y0) * ux - (x - x0) * uy);
      return across <= halfWidth(film) && along >= -wall * upright && along <= beyond * upright;
    },
    planRadius: (film) => Math.max(flat * radius, halfWidth(film) / 2),
  };
}

import type { Vec3 } from '../vector.ts';

/** Points in space under bodies, found again by nearness. */
export interface ContactGrid {
  add(at: Vec3, body: number): void;
  /** Whether any point of a body that counts lies within the grid's radius. */
  isNear(at: Vec3, counts: (body: number) => boolean): boolean;
}

/** Cells to either side of the origin that have a key of their own: more than any print has. */
const HALF = 2 ** 16;
const keyOf = (i: number, j: number, k: number): number => i + 2 * HALF * (j + 2 * HALF * k);

export function contactGrid(radius: number): ContactGrid {
  const cells = new Map<number, { readonly at: Vec3; readonly body: number }[]>();
  const index = (c: number): number => Math.floor(c / radius) + HALF;
  return {
    add(at, body) {
      const key = keyOf(index(at[0]), index(at[1]), index(at[2]));
      const others = cells.get(key);
      if (others) others.push({ at, body });
      else cells.set(key, [{ at, body }]);
    },
    isNear(at, counts) {
      const [i, j, k] = [index(at[0]), index(at[1]), index(at[2])];
      for (let n = 0; n < 27; n++) {
        const key = keyOf(i + (n % 3) - 1, j + (Math.floor(n / 3) % 3) - 1, k + Math.floor(n / 9) - 1);
        const others = cells.get(key);
        if (others?.some((other) => isWithin(at, other.at, radius) && counts(other.body))) return true;
      }
      return false;
    },
  };
}

const isWithin = (a: Vec3, b: Vec3, radius: number): boolean =>
  (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2 <= radius * radius;

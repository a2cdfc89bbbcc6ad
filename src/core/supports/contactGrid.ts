import type { Vec3 } from '../vector.ts';

/** Points in space, found again by nearness. */
export interface ContactGrid {
  add(at: Vec3): void;
  /** Whether any point lies within the grid's radius. */
  isNear(at: Vec3): boolean;
}

export function contactGrid(radius: number): ContactGrid {
  const cells = new Map<string, Vec3[]>();
  const cellOf = (at: Vec3): number[] => at.map((c) => Math.floor(c / radius));
  return {
    add(at) {
      const key = cellOf(at).join();
      const others = cells.get(key);
      if (others) others.push(at);
      else cells.set(key, [at]);
    },
    isNear(at) {
      const [i, j, k] = cellOf(at) as [number, number, number];
      for (let n = 0; n < 27; n++) {
        const key = `${i + (n % 3) - 1},${j + (Math.floor(n / 3) % 3) - 1},${k + Math.floor(n / 9) - 1}`;
        if (cells.get(key)?.some((other) => isWithin(at, other, radius))) return true;
      }
      return false;
    },
  };
}

const isWithin = (a: Vec3, b: Vec3, radius: number): boolean =>
  (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2 <= radius * radius;

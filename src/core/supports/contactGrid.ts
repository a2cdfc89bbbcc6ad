import type { Vec3 } from '../vector.ts';

/** Points in space under bodies, found again by nearness. */
export interface ContactGrid {
  add(at: Vec3, body: number): void;
  /** Whether any point of a body that counts lies within the grid's radius. */
  isNear(at: Vec3, counts: (body: number) => boolean): boolean;
}

/** Cells of the edge `radius` share as many chains; that some share one costs time and nothing else. */
const CHAINS = 2 ** 14;

export function contactGrid(radius: number): ContactGrid {
  /** By chain: its last point, or −1; by point: the one before it, where it is, and its body. */
  const last = new Int32Array(CHAINS).fill(-1);
  const before: number[] = [];
  const places: number[] = [];
  const bodies: number[] = [];
  const index = (c: number): number => Math.floor(c / radius);
  return {
    add(at, body) {
      const chain = chainOf(index(at[0]), index(at[1]), index(at[2]));
      before.push(last[chain]!);
      last[chain] = bodies.push(body) - 1;
      places.push(at[0], at[1], at[2]);
    },
    isNear([x, y, z], counts) {
      const [i, j, k] = [index(x), index(y), index(z)];
      for (let n = 0; n < 27; n++) {
        const chain = chainOf(i + (n % 3) - 1, j + (Math.floor(n / 3) % 3) - 1, k + Math.floor(n / 9) - 1);
        for (let point = last[chain]!; point >= 0; point = before[point]!) {
          const away =
            (x - places[3 * point]!) ** 2 +
            (y - places[3 * point + 1]!) ** 2 +
            (z - places[3 * point + 2]!) ** 2;
          if (away <= radius * radius && counts(bodies[point]!)) return true;
        }
      }
      return false;
    },
  };
}

/** Of a cell; large primes spread neighbours, as in hashing of space. */
const chainOf = (i: number, j: number, k: number): number =>
  (Math.imul(i, 73856093) ^ Math.imul(j, 19349663) ^ Math.imul(k, 83492791)) & (CHAINS - 1);

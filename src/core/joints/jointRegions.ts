import { joinSets, numberSets, singletons } from '../unionFind.ts';
import type { Vec3 } from '../vector.ts';
import type { JointRegion } from './joint.ts';
import type { JointPlace } from './jointPlaces.ts';

/** Number of each place's region, numbered in the order of their first places; places in touching cubes are of one. */
export function labelRegions(
  places: readonly JointPlace[],
  cubeMm: number,
): { readonly label: Uint32Array; readonly count: number } {
  // More cubes along an axis than a joint of any size has: 2 mm each, 262 m.
  const across = 2 ** 17;
  const low = [0, 1, 2].map((axis) => places.reduce((least, { at }) => Math.min(least, at[axis]!), Infinity));
  const cubes = new Map<number, number>();
  const parent = singletons(places.length);
  for (const [n, { at }] of places.entries()) {
    const [x, y, z] = [0, 1, 2].map((axis) => 1 + Math.floor((at[axis]! - low[axis]!) / cubeMm));
    const cube = (x! * across + y!) * across + z!;
    const known = cubes.get(cube);
    if (known === undefined) cubes.set(cube, n);
    else joinSets(parent, known, n);
  }
  for (const [cube, n] of cubes) {
    for (const [dx, dy, dz] of halfNeighbours) {
      const beside = cubes.get(cube + (dx * across + dy) * across + dz);
      if (beside !== undefined) joinSets(parent, n, beside);
    }
  }
  return numberSets(parent);
}

/** One of each pair of opposite neighbours of a cube. */
const halfNeighbours = [-1, 0, 1]
  .flatMap((dx) => [-1, 0, 1].flatMap((dy) => [-1, 0, 1].map((dz) => [dx, dy, dz] as const)))
  .filter(([dx, dy, dz]) => 9 * dx + 3 * dy + dz > 0);

/** Area and middle of each region, in the order of their numbers. */
export function regionsOf(places: readonly JointPlace[], label: Uint32Array, count: number): JointRegion[] {
  const sums = Array.from({ length: count }, () => [0, 0, 0, 0] as [number, number, number, number]);
  for (const [n, { at, areaMm2 }] of places.entries()) {
    const sum = sums[label[n]!]!;
    sum[0] += areaMm2;
    for (let axis = 0; axis < 3; axis++) sum[axis + 1]! += areaMm2 * at[axis]!;
  }
  return sums.map(([area, x, y, z]) => ({
    // Both parts' pieces are among them.
    areaMm2: area / 2,
    at: [x / area, y / area, z / area] as Vec3,
  }));
}

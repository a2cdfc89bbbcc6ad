import { joinSets, numberSets, singletons } from '../unionFind.ts';
import type { Vec3 } from '../vector.ts';
import type { JointRegion } from './joint.ts';
import type { JointPlace } from './jointPlaces.ts';

/** Number of each place's region, numbered in the order of their first places; places in touching cubes are of one. */
export function labelRegions(
  places: readonly JointPlace[],
  cubeMm: number,
): { readonly label: Uint32Array; readonly count: number } {
  const cubes = new Map<string, number>();
  const parent = singletons(places.length);
  const cubeOf = ({ at }: JointPlace): [number, number, number] => [
    Math.floor(at[0] / cubeMm),
    Math.floor(at[1] / cubeMm),
    Math.floor(at[2] / cubeMm),
  ];
  for (const [n, place] of places.entries()) {
    const key = cubeOf(place).join();
    const known = cubes.get(key);
    if (known === undefined) cubes.set(key, n);
    else joinSets(parent, known, n);
  }
  for (const [key, n] of cubes) {
    const [x, y, z] = key.split(',').map(Number) as [number, number, number];
    for (const [dx, dy, dz] of halfNeighbours) {
      const beside = cubes.get([x + dx, y + dy, z + dz].join());
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

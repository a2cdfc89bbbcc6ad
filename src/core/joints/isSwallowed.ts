import { type Interrupter, portion } from '../interrupter.ts';
import { massProperties } from '../mesh/massProperties.ts';
import { intersectRuns } from '../rays/intersectRuns.ts';
import { runsVolume } from '../rays/runsVolume.ts';
import type { Box } from '../vector.ts';
import { castSolid, type JointBody, sharedBox } from './jointPlaces.ts';

/** Share of the smaller part that lies in the other from which on they are not taken to stand together. Engineering choice. */
const SWALLOWED = 0.5;
/** Along each side: few, since only about half of a part is asked for. */
const ROWS = 256;

/**
 * Whether more than half of the smaller part lies in the other: no joint, but files that do not stand together, or one
 * file twice. By rows a 256th of the shared box apart.
 */
export function isSwallowed(first: JointBody, second: JointBody, interrupter: Interrupter): boolean {
  // No more of two solids than of their boxes.
  if (sharedPart(first.bounds, second.bounds) === 0) return false;
  const box = sharedBox(first.bounds, second.bounds, 0);
  const [deep, high] = [box.max[1] - box.min[1], box.max[2] - box.min[2]];
  const lattice = {
    y0: box.min[1],
    dy: deep / ROWS,
    rows: ROWS,
    z0: box.min[2],
    dz: high / ROWS,
    layers: ROWS,
  };
  const volumes = [first, second].map(({ mesh }, n) =>
    Math.abs(massProperties(mesh, portion(interrupter, n * 0.2, (n + 1) * 0.2)).volume),
  );
  if (SWALLOWED * Math.min(...volumes) >= boxVolume(box)) return false;
  const shared = intersectRuns(
    castSolid(first, lattice, portion(interrupter, 0.4, 0.7)),
    castSolid(second, lattice, portion(interrupter, 0.7, 1)),
  );
  return runsVolume(shared) > SWALLOWED * Math.min(...volumes);
}

/** How much of the smaller box lies in the other. */
export function sharedPart(a: Box, b: Box): number {
  const shared = boxVolume(sharedBox(a, b, 0));
  return shared === 0 ? 0 : shared / Math.min(boxVolume(a), boxVolume(b));
}

const boxVolume = ({ min, max }: Box): number =>
  min.reduce((product, low, axis) => product * Math.max(0, max[axis]! - low), 1);

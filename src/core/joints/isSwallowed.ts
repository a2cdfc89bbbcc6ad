import { type Interrupter, portion } from '../interrupter.ts';
import { intersectRuns } from '../rays/intersectRuns.ts';
import { runsVolume } from '../rays/runsVolume.ts';
import type { Box } from '../vector.ts';
import { castSolid, type JointBody, sharedBox } from './jointPlaces.ts';

/** Weighed once for all pairs that it is in. */
export interface WeighedBody extends JointBody {
  readonly volumeMm3: number;
}

/** Share of the smaller part that lies in the other from which on they are not taken to stand together. Engineering choice. */
const SWALLOWED = 0.5;
/** Along each side: few, since only about half of a part is asked for. */
const ROWS = 256;

/**
 * Whether more than half of the smaller part lies in the other: no joint, but files that do not stand together, or one
 * file twice. By rows a 256th of the shared box apart.
 */
export function isSwallowed(first: WeighedBody, second: WeighedBody, interrupter: Interrupter): boolean {
  const box = sharedBox(first.bounds, second.bounds, 0);
  const enoughMm3 = SWALLOWED * Math.min(first.volumeMm3, second.volumeMm3);
  // Two solids share no more than their boxes do.
  if (enoughMm3 >= boxVolume(box)) return false;
  const [deep, high] = [box.max[1] - box.min[1], box.max[2] - box.min[2]];
  const lattice = {
    y0: box.min[1],
    dy: deep / ROWS,
    rows: ROWS,
    z0: box.min[2],
    dz: high / ROWS,
    layers: ROWS,
  };
  const shared = intersectRuns(
    castSolid(first, lattice, portion(interrupter, 0, 0.5)),
    castSolid(second, lattice, portion(interrupter, 0.5, 1)),
  );
  return runsVolume(shared) > enoughMm3;
}

/** How much of the smaller box lies in the other. */
export function sharedPart(a: Box, b: Box): number {
  const shared = boxVolume(sharedBox(a, b, 0));
  return shared === 0 ? 0 : shared / Math.min(boxVolume(a), boxVolume(b));
}

const boxVolume = ({ min, max }: Box): number =>
  min.reduce((product, low, axis) => product * Math.max(0, max[axis]! - low), 1);

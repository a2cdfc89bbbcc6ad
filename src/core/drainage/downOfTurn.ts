import type { Vec3 } from '../vector.ts';

/** What points straight down, in the sculpt's axes, when it is turned by degrees about x, then y, then z. */
export function downOfTurn([x, y]: Vec3): Vec3 {
  const [sx, cx] = [Math.sin((x * Math.PI) / 180), Math.cos((x * Math.PI) / 180)];
  const [sy, cy] = [Math.sin((y * Math.PI) / 180), Math.cos((y * Math.PI) / 180)];
  // The last row of Rz·Ry·Rx, reversed; the last turn is about the vertical and changes nothing.
  return [sy, -cy * sx, -cy * cx];
}

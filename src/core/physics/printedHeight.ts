/**
 * How much of the diameter of a disc lies on the plate's side of a film `beyond` mm past its centre, mm.
 * `axisZ` is the height component of the unit vector across the disc: one level with the film is whole or
 * not there.
 */
export function printedHeight(beyond: number, axisZ: number, radius: number): number {
  const sine = tilt(axisZ);
  if (Math.abs(beyond) >= radius * sine) return beyond >= 0 ? 2 * radius : 0;
  return radius + beyond / sine;
}

/** Sine of the angle between a unit vector of height component `z` and the building direction. */
export function tilt(z: number): number {
  return Math.sqrt(Math.max(0, 1 - z * z));
}

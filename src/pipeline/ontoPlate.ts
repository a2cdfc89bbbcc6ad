import type { Affine } from '../core/affine.ts';
import { type Place, turnBy } from '../core/plates/place.ts';

/** From a part's own print frame to its place on a plate. */
export function ontoPlate({ at, spin }: Place): Affine {
  const [cos, sin] = turnBy(spin);
  return { linear: [cos, -sin, 0, sin, cos, 0, 0, 0, 1], shift: [at[0], at[1], 0] };
}

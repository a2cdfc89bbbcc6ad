import type { Interrupter } from '../core/interrupter.ts';
import { type Place, turnBy } from '../core/plates/place.ts';
import { ontoPlate } from './ontoPlate.ts';
import { type PackedObject, pack3mf } from './pack3mf.ts';
import { thumbnailOf } from './thumbnailOf.ts';

/** A mesh in its own print frame, and where that stands on the plate. */
export interface PlacedMesh extends PackedObject {
  readonly place: Place;
}

/**
 * A 3MF package of several objects, piece by piece, each with a build item of its own: its mesh as it stands in
 * its print frame, its place in the item's transform, 3MF's origin at the plate's front left corner (`corner`,
 * from the plate's middle). `interrupter` is heard while the thumbnail is drawn.
 */
export function pieces3mf(
  items: readonly PlacedMesh[],
  corner: readonly [number, number],
  interrupter: Interrupter,
): Generator<Uint8Array> {
  const build = items.map(
    ({ place }, n) => `<item objectid="${n + 1}" transform="${transformOf(place, corner)}"/>`,
  );
  const standing = items.map((item) => ({ ...item, frame: ontoPlate(item.place) }));
  return pack3mf(items, '', build.join(''), thumbnailOf(standing, interrupter));
}

/** Row by row of a matrix that stands behind a row of coordinates (core specification 1.4.0, 3.3). */
function transformOf({ at, spin }: Place, corner: readonly [number, number]): string {
  const [cos, sin] = turnBy(spin);
  const entries = [cos, sin, 0, -sin, cos, 0, 0, 0, 1, at[0] - corner[0], at[1] - corner[1], 0];
  // −0 is 0.
  return entries.map((entry) => entry + 0).join(' ');
}

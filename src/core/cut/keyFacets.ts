import { type CutPlane, fromPlane } from './cutPlane.ts';
import { type Frustum, KEY_SIDES } from './keyShape.ts';

/** A key's surface without the disc where it meets the plane. */
export interface KeyFacets {
  /** Three a vertex: the ring on the plane first, counter-clockwise seen from the front, then the end's ring and its middle. */
  readonly positions: Float32Array;
  /** As a plug, outward. Of a socket they run the other way. */
  readonly triangles: Uint32Array;
}

/** A frustum that stands on the plane at x, y and reaches to the front. Lengths in the unit of the plane's frame. */
export function keyFacets(plane: CutPlane, x: number, y: number, shape: Frustum): KeyFacets {
  const ring = (radius: number, height: number): number[] =>
    Array.from({ length: KEY_SIDES }, (_, n) => {
      const turn = (2 * Math.PI * n) / KEY_SIDES;
      return fromPlane(plane, x + radius * Math.cos(turn), y + radius * Math.sin(turn), height);
    }).flat();
  const end = 2 * KEY_SIDES;
  const triangles: number[] = [];
  for (let n = 0; n < KEY_SIDES; n++) {
    const next = (n + 1) % KEY_SIDES;
    triangles.push(n, next, KEY_SIDES + next, n, KEY_SIDES + next, KEY_SIDES + n);
    triangles.push(end, KEY_SIDES + n, KEY_SIDES + next);
  }
  return {
    positions: Float32Array.from([
      ...ring(shape.baseRadius, 0),
      ...ring(shape.endRadius, shape.length),
      ...fromPlane(plane, x, y, shape.length),
    ]),
    triangles: Uint32Array.from(triangles),
  };
}

import type { PictureShape } from './drawPicture.ts';
import { alongAxes, coordinate } from './pictureView.ts';

/** Where shapes lie in the plane of a picture, mm to the right and up. */
export interface PictureBounds {
  readonly low: readonly [right: number, up: number];
  readonly high: readonly [right: number, up: number];
}

/** Bounds of what a picture of some shapes shows; nothing has low above high. */
export function pictureBounds(shapes: readonly Pick<PictureShape, 'mesh' | 'frame'>[]): PictureBounds {
  const low: [number, number] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high: [number, number] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { mesh, frame } of shapes) {
    const [toRight, up] = alongAxes(frame);
    const { positions } = mesh;
    for (let at = 0; at < positions.length; at += 3) {
      const [x, y, z] = [positions[at]!, positions[at + 1]!, positions[at + 2]!];
      const u = coordinate(toRight, x, y, z);
      const v = coordinate(up, x, y, z);
      if (u < low[0]) low[0] = u;
      if (u > high[0]) high[0] = u;
      if (v < low[1]) low[1] = v;
      if (v > high[1]) high[1] = v;
    }
  }
  return { low, high };
}

/** The longer side of what a picture shows, mm; 0 for nothing. */
export const spanOf = ({ low, high }: PictureBounds): number =>
  Math.max(0, high[0] - low[0], high[1] - low[1]);

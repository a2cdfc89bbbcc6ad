import type { Affine } from '../core/affine.ts';
import type { Interrupter } from '../core/interrupter.ts';
import { drawPicture } from '../core/picture/drawPicture.ts';
import { tones } from '../core/picture/tones.ts';
import type { PackedObject } from './pack3mf.ts';
import { pngOf } from './pngOf.ts';

/** Side of a thumbnail, pixels. */
const PIXELS = 256;

/** What a package holds as a PNG picture, each object as it stands. */
export function thumbnailOf(
  objects: readonly (Pick<PackedObject, 'mesh' | 'type'> & { readonly frame?: Affine })[],
  interrupter: Interrupter,
): Uint8Array {
  const shapes = objects.map(({ mesh, type, frame }) => ({
    mesh,
    tone: type === 'model' ? tones.part : tones.support,
    ...(frame && { frame }),
  }));
  return pngOf(drawPicture(shapes, PIXELS, null, interrupter));
}

import { encode } from 'fast-png';
import type { Picture } from '../core/picture/drawPicture.ts';

/** A picture as a PNG file of 8-bit RGBA. The same picture gives the same bytes. */
export const pngOf = ({ pixels, data }: Picture): Uint8Array =>
  encode({ width: pixels, height: pixels, data, depth: 8, channels: 4 });

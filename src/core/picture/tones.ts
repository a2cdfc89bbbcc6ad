import type { Tone } from './drawPicture.ts';

/** Greys that stand out on light and dark grounds alike; what holds a part, and what it stands on, are darker and tell apart. */
export const tones: Readonly<Record<'part' | 'support' | 'plate', Tone>> = {
  part: [226, 228, 232],
  support: [190, 172, 140],
  plate: [136, 146, 160],
};

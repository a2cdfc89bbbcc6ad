import { type Affine, applyAffine, invertSimilarity } from '../core/affine.ts';
import type { ChamberMouth } from '../core/drainage/chamberMouth.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import { add, scale } from '../core/vector.ts';

/** The openings of each chamber in the frame of its cells; `toPrint` leads from there to the print frame. */
export function chamberMouths(
  openings: readonly OpeningFacts[],
  chambers: number,
  toPrint: Affine,
): ChamberMouth[][] {
  const back = invertSimilarity(toPrint);
  const turnedBack: Affine = { linear: back.linear, shift: [0, 0, 0] };
  const mouths: ChamberMouth[][] = Array.from({ length: chambers }, () => []);
  for (const { placed, chamber, chamberDepthMm } of openings) {
    if (placed === null || chamber === null || chamberDepthMm === null) continue;
    const { id, mouth, axis, radius } = placed;
    mouths[chamber]?.push({
      id,
      outer: applyAffine(back, mouth),
      inner: applyAffine(back, add(mouth, scale(axis, chamberDepthMm))),
      axis: applyAffine(turnedBack, axis),
      radius,
    });
  }
  return mouths;
}

import { afterScaling, applyAffine } from '../core/affine.ts';
import type { Chamber } from '../core/field/cavity.ts';
import type { ChamberFacts, HollowFacts } from '../core/kit/partFacts.ts';
import type { PosedPart } from './posedPart.ts';

/** The cavity's facts carried over from source axes at finished size into the print frame. */
export function hollowFacts(
  { request, cavity, frame }: PosedPart,
  solidMm3: number,
  resinMm3: number,
): HollowFacts {
  const toPrint = afterScaling(frame, 1 / request.factor);
  const posed = ({ volumeMm3, centroid }: Chamber): ChamberFacts => ({
    volumeMm3,
    centroid: applyAffine(toPrint, centroid),
  });
  return {
    wallMm: request.wall,
    chambers: cavity?.chambers.map(posed) ?? [],
    leftSolid: cavity?.leftSolid.map(posed) ?? [],
    thinnestWallMm: cavity?.thinnestWallMm ?? null,
    deepestMm: cavity?.deepestMm ?? null,
    solidMm3,
    resinMm3,
  };
}

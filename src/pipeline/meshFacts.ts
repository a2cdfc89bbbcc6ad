import { type Affine, applyAffine } from '../core/affine.ts';
import type { Seam } from '../core/cut/seam.ts';
import type { DoubledWall, MeshFacts } from '../core/kit/partFacts.ts';
import type { PosedPart } from './posedPart.ts';

export function meshFacts(
  part: PosedPart,
  volumeMm3: number,
  doubledWalls: readonly DoubledWall[],
): MeshFacts {
  const { prepared } = part;
  const { mass } = part.pose;
  const { min, max } = mass.bounds;
  return {
    topology: prepared.topology,
    shells: prepared.shells,
    repaired: prepared.repaired,
    sound: prepared.sound,
    insideOut: prepared.insideOut,
    seams: prepared.seams.map((seam) => seamInPrint(seam, part.pose.frame)),
    volumeMm3,
    areaMm2: mass.area,
    bounds: mass.bounds,
    sizeMm: [max[0] - min[0], max[1] - min[1], max[2] - min[2]],
    centroid: mass.centroid,
    doubledWalls,
  };
}

const seamInPrint = (seam: Seam, frame: Affine): Seam => ({
  ...seam,
  keys: seam.keys.map((key) => ({ ...key, at: applyAffine(frame, key.at) })),
  refused: seam.refused.map((key) => ({ ...key, at: key.at && applyAffine(frame, key.at) })),
});

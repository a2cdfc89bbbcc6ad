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
    volumeMm3,
    areaMm2: mass.area,
    bounds: mass.bounds,
    sizeMm: [max[0] - min[0], max[1] - min[1], max[2] - min[2]],
    centroid: mass.centroid,
    doubledWalls,
  };
}

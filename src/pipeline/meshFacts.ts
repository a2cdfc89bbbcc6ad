import type { Interrupter } from '../core/interrupter.ts';
import type { MeshFacts } from '../core/kit/partFacts.ts';
import { findDoubledWalls } from '../core/mesh/findDoubledWalls.ts';
import type { PosedPart } from './posedPart.ts';

/** A wall is doubled when it stands twice within this distance; without a wall to go by, the usual one. */
const usualWallMm = 1.5;

export function meshFacts(part: PosedPart, volumeMm3: number, interrupter: Interrupter): MeshFacts {
  const { request, prepared, mended } = part;
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
    doubledWalls: findDoubledWalls(mended, request.wall ?? usualWallMm, interrupter),
  };
}

import type { CupDemand } from './requiredDiameter.ts';
import { squeezeForce } from './squeezeForce.ts';

/**
 * The squeeze in N of a cup into which resin could come all along its rim: what no vents, however many, are
 * trusted to better. At its greatest depth where its floor is known cell by cell, so that a level floor counts
 * as such (Stefan's figure) and any other for no more than it is; else at its mean depth.
 */
export function openRimForce({ floorArea, speed, depth, local }: CupDemand, viscosity: number): number {
  return squeezeForce(floorArea, viscosity, speed, local?.greatestDepth ?? depth);
}

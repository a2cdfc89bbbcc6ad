import { stefanForce } from './stefanForce.ts';

/**
 * Force in N of the resin that must flow in between the floor of a cavity and the film as they part:
 * 3·µ·v·J/h³ with J = A²/(2·π), the disc of the same area. `area` m², `depth` m (floor to film),
 * viscosity Pa·s, speed m/s. Not capped.
 *
 * Source: Stefan 1874 over the depth of the cavity instead of the gap of a layer. The disc has the
 * largest J of all shapes of one area (Pólya 1948), so for a slender cavity this is an upper bound. It
 * is none for a cavity fed through one mouth: resin is taken to come in all along the rim, and from a
 * single hole of radius a in the middle of a disc it is 4·ln(R/a) − 3 times as much.
 */
export function squeezeForce(area: number, viscosity: number, speed: number, depth: number): number {
  return stefanForce((area * area) / (2 * Math.PI), { viscosity, speed, gap: depth });
}

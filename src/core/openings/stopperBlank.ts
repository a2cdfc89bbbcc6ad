import type { Mesh } from '../mesh/mesh.ts';
import { borePolygon, boreRings } from './boreRings.ts';
import type { Stopper } from './stopper.ts';

/** Rings nearer to each other than this are one, mm. */
const LEAST_STEP_MM = 1e-3;

/**
 * A stopper before its outside is shaped: convex, closed, outward. Its sides are parallel to those of
 * the bore's polygon and a clearance inside them as far as the outside reaches down, and lean inward
 * from there; the gap is nowhere less than the clearance. Print frame, mm.
 */
export function stopperBlank({ bore, clearanceMm, taperDeg, straightMm, depthMm }: Stopper): Mesh {
  const polygon = borePolygon(bore.radius);
  const inset = (mm: number) => polygon.cornerRadius - mm / Math.cos(polygon.turn / 2);
  const tapered = (depthMm - straightMm) * Math.tan((taperDeg * Math.PI) / 180);
  const rings = [
    { depth: -bore.outward, cornerRadius: inset(clearanceMm) },
    { depth: straightMm, cornerRadius: inset(clearanceMm) },
    { depth: depthMm, cornerRadius: inset(clearanceMm + tapered) },
  ];
  if (bore.outward + straightMm < LEAST_STEP_MM) rings.shift();
  return boreRings(bore, polygon, rings);
}

import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { footprintHull } from '../pose/footprintHull.ts';
import { cross, dot, normalized, squareTo, type Vec3 } from '../vector.ts';

/** What a part would stand on. */
export interface Footing {
  /** Height of its lowest point along `up`, mm. */
  readonly lowMm: number;
  /** Hull of what lies no more than `STANDS_MM` above it, along the axes of `across`, mm. */
  readonly corners: readonly (readonly [number, number])[];
}

/** What is no higher than this above the lowest point touches the ground: a print is no flatter. */
export const STANDS_MM = 0.3;
const CALL_MASK = 0xffff;

/** Two axes square to `up`; the three are right-handed and of length one. */
export function across(up: Vec3): readonly [Vec3, Vec3, Vec3] {
  const height = normalized(up);
  const side = squareTo(height);
  return [side, cross(height, side), height];
}

/** Of a surface in any frame, mm; `up` in its axes. */
export function footingOf({ positions: p }: Mesh, up: Vec3, interrupter: Interrupter): Footing {
  const [side, other, [ux, uy, uz]] = across(up);
  const height = (at: number): number => ux * p[at]! + uy * p[at + 1]! + uz * p[at + 2]!;
  let lowMm = Infinity;
  for (let at = 0; at < p.length; at += 3) {
    if ((at & CALL_MASK) === 0) interrupter(at / (2 * p.length));
    lowMm = Math.min(lowMm, height(at));
  }
  const points: number[] = [];
  for (let at = 0; at < p.length; at += 3) {
    if (height(at) > lowMm + STANDS_MM) continue;
    const corner: Vec3 = [p[at]!, p[at + 1]!, p[at + 2]!];
    points.push(dot(corner, side), dot(corner, other), 0);
  }
  return { lowMm, corners: footprintHull(Float64Array.from(points)) };
}

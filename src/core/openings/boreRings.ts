import type { Mesh } from '../mesh/mesh.ts';
import { add, scale, type Vec3 } from '../vector.ts';
import { basisAcross } from './basisAcross.ts';

/** A facet's chord stays within this of the round hole, mm. */
const CHORD_ERROR_MM = 0.01;
const FEWEST_SIDES = 24;
const MOST_SIDES = 192;

/** The regular polygon that a round bore is cut as. It has the area of the circle. */
export interface BorePolygon {
  readonly sides: number;
  /** Radians from corner to corner. */
  readonly turn: number;
  /** From the axis to a corner, mm. */
  readonly cornerRadius: number;
}

export function borePolygon(radius: number): BorePolygon {
  const enough = Math.ceil(Math.PI / Math.acos(Math.max(0, 1 - CHORD_ERROR_MM / radius)));
  const sides = Math.min(MOST_SIDES, Math.max(FEWEST_SIDES, enough));
  const turn = (2 * Math.PI) / sides;
  return { sides, turn, cornerRadius: radius * Math.sqrt(turn / Math.sin(turn)) };
}

/** One ring of a body about the axis of a bore. */
export interface BoreRing {
  /** From the mouth along the axis, mm. */
  readonly depth: number;
  readonly cornerRadius: number;
}

/**
 * The closed, outward body between rings of increasing depth, its corners where those of the bore's
 * polygon are. Frame and unit of the bore (print, mm).
 */
export function boreRings(
  { mouth, axis }: { readonly mouth: Vec3; readonly axis: Vec3 },
  { sides, turn }: BorePolygon,
  rings: readonly BoreRing[],
): Mesh {
  const [u, v] = basisAcross(axis);
  const positions = new Float32Array(3 * sides * rings.length);
  for (let n = 0; n < sides; n++) {
    const [cosine, sine] = [Math.cos(n * turn), Math.sin(n * turn)];
    for (const [at, { depth, cornerRadius }] of rings.entries()) {
      const radial = add(scale(u, cornerRadius * cosine), scale(v, cornerRadius * sine));
      positions.set(add(add(mouth, radial), scale(axis, depth)), 3 * (at * sides + n));
    }
  }
  return { positions, triangles: ringTriangles(sides, rings.length) };
}

/** Rings one after the other, counter-clockwise about the axis. */
export function ringTriangles(sides: number, rings: number): Uint32Array {
  const triangles: number[] = [];
  const last = (rings - 1) * sides;
  for (let n = 0; n < sides; n++) {
    const next = (n + 1) % sides;
    for (let low = 0; low < last; low += sides) {
      const high = low + sides;
      triangles.push(low + n, low + next, high + next, low + n, high + next, high + n);
    }
    if (n > 0 && n + 1 < sides) triangles.push(0, n + 1, n, last, last + n, last + n + 1);
  }
  return Uint32Array.from(triangles);
}

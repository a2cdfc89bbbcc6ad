import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import * as shapes from '../../shapes.ts';

/** Segments this long, mm, stand close enough for distances to corners to be distances to the wall. */
export const FINE = 0.4;

type Profile = readonly (readonly [radius: number, z: number])[];

/** A body of revolution about z of this radius, its profile cut into short pieces. */
export function turnedBody(profile: Profile, segments = 128): Mesh {
  const fine: [number, number][] = [[...profile[0]!]];
  profile.slice(1).forEach(([r, z], n) => {
    const [r0, z0] = profile[n]!;
    const pieces = Math.max(1, Math.ceil(Math.hypot(r - r0, z - z0) / FINE));
    for (let piece = 1; piece <= pieces; piece++) {
      fine.push([r0 + ((r - r0) * piece) / pieces, z0 + ((z - z0) * piece) / pieces]);
    }
  });
  return shapes.lathe(fine, segments);
}

/** Arc of a ball about z = middle from one height to another. */
export function arc(radius: number, middle: number, from: number, to: number): [number, number][] {
  const steps = Math.ceil((Math.PI * radius) / FINE);
  const [first, last] = [from, to].map((z) => Math.acos(Math.max(-1, Math.min(1, (z - middle) / radius))));
  return Array.from({ length: steps + 1 }, (_, n) => {
    const angle = first! + ((last! - first!) * n) / steps;
    const sine = Math.sin(angle);
    return [sine < 1e-9 ? 0 : radius * sine, middle + radius * Math.cos(angle)];
  });
}

/** Two balls whose surfaces stand `apart` mm apart on z, joined by a bore. */
export function dumbbell(lower: number, upper: number, bore: number, apart: number): Mesh {
  const rim = (radius: number): number => Math.sqrt(radius * radius - bore * bore);
  const top = rim(lower);
  const bottom = top + apart;
  const middle = bottom + rim(upper);
  return turnedBody([...arc(lower, 0, -lower, top), ...arc(upper, middle, bottom, middle + upper)]);
}

import type { KeySize } from './cutDecision.ts';

/** Plugs and sockets are prisms of so many sides that lean inward. */
export const KEY_SIDES = 48;
/** Of the width where it stands, what a plug has at least at its end, however it tapers. */
const LEAST_END = 0.25;

/** A frustum on a regular polygon, mm; radii to the corners. */
export interface Frustum {
  readonly baseRadius: number;
  readonly endRadius: number;
  readonly length: number;
}

export function plugShape({ length, taper }: KeySize, diameter: number): Frustum {
  const baseRadius = diameter / 2;
  const leans = length * Math.tan((taper * Math.PI) / 180);
  return { baseRadius, endRadius: Math.max(LEAST_END * baseRadius, baseRadius - leans), length };
}

/** As far off the plug everywhere as the clearance, square to its side and to its end; it begins at the same plane. */
export function socketShape(plug: Frustum, clearance: number): Frustum {
  // Sides of the polygons are nearer to the axis than their corners.
  const flat = Math.cos(Math.PI / KEY_SIDES);
  const slope = (plug.baseRadius - plug.endRadius) / plug.length;
  const beside = (clearance * Math.hypot(1, flat * slope)) / flat;
  return {
    baseRadius: plug.baseRadius + beside,
    endRadius: plug.endRadius + beside - clearance * slope,
    length: plug.length + clearance,
  };
}

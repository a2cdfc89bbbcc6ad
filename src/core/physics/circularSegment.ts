/** What a flow sees of a hole: its area (m²) and hydraulic diameter 4·A/perimeter (m). */
export interface Section {
  readonly area: number;
  readonly hydraulicDiameter: number;
}

export function roundSection(diameter: number): Section {
  return { area: (Math.PI / 4) * diameter * diameter, hydraulicDiameter: diameter };
}

/**
 * The part of a round mouth of radius `radius` (m) that is printed when the film stands `height` (m)
 * past its first edge: a circular segment of that height, closed along its chord by the film. The
 * whole circle from a height of 2·radius on, nothing (area 0) at 0.
 *
 * Friction by the hydraulic diameter is within 3 % for circular segments (fRe 15.56 for a thin one,
 * 15.77 for the half circle, 16 for the circle; Shah & London 1978, from memory; the thin limit is
 * exactly 35/36 of the circle's by lubrication theory).
 */
export function circularSegment(radius: number, height: number): Section {
  if (height >= 2 * radius) return roundSection(2 * radius);
  if (height <= 0) return { area: 0, hydraulicDiameter: 0 };
  const halfAngle = Math.acos(1 - height / radius);
  const halfChord = radius * Math.sin(halfAngle);
  const area = radius * radius * halfAngle - (radius - height) * halfChord;
  return { area, hydraulicDiameter: (4 * area) / (2 * radius * halfAngle + 2 * halfChord) };
}

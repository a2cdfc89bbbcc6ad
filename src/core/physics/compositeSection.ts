/**
 * Bars side by side that hold one rigid body, as one cross-section: sums over them of area, its first and second
 * moments, and the bars' own second moments. Lengths and areas in one unit.
 *
 * Source: bending of a composite section, parallel-axis theorem (Timoshenko, Strength of Materials, part I); the
 * same as an eccentrically loaded group of bolts. Validity: a stiff body on bars of one material and like length.
 */
export interface CompositeSection {
  area: number;
  x: number;
  y: number;
  xx: number;
  xy: number;
  yy: number;
  /** Of the bars about their own middles; the same about every axis, since they are round. */
  own: number;
}

export const compositeSection = (): CompositeSection => ({
  area: 0,
  x: 0,
  y: 0,
  xx: 0,
  xy: 0,
  yy: 0,
  own: 0,
});

/** Adds a round bar; a plate's contact of any outline counts as a disc of its area. */
export function addBar(section: CompositeSection, x: number, y: number, area: number): void {
  section.area += area;
  section.x += area * x;
  section.y += area * y;
  section.xx += area * x * x;
  section.xy += area * x * y;
  section.yy += area * y * y;
  section.own += (area * area) / (4 * Math.PI);
}

export function addSection(into: CompositeSection, other: CompositeSection): void {
  for (const key of ['area', 'x', 'y', 'xx', 'xy', 'yy', 'own'] as const) into[key] += other[key];
}

/** Tension over a section: at the middle of the bars' area, and by how much it grows per length along x and y. */
export interface SectionStress {
  readonly middle: number;
  readonly alongX: number;
  readonly alongY: number;
  /** The middle of the bars' area. */
  readonly x: number;
  readonly y: number;
}

/** The tension under a force at (x, y) along the bars; of a section with any area. */
export function sectionStress(section: CompositeSection, force: number, x: number, y: number): SectionStress {
  const { area, own } = section;
  const [cx, cy] = [section.x / area, section.y / area];
  const xx = section.xx - area * cx * cx + own;
  const xy = section.xy - area * cx * cy;
  const yy = section.yy - area * cy * cy + own;
  const det = xx * yy - xy * xy;
  const [mx, my] = [force * (x - cx), force * (y - cy)];
  return {
    middle: force / area,
    alongX: (yy * mx - xy * my) / det,
    alongY: (xx * my - xy * mx) / det,
    x: cx,
    y: cy,
  };
}

/** The greatest tension in a round bar of `radius` at (x, y) of the section. */
export function barStress(stress: SectionStress, x: number, y: number, radius: number): number {
  const { middle, alongX, alongY } = stress;
  const slope = Math.hypot(alongX, alongY);
  return middle + alongX * (x - stress.x) + alongY * (y - stress.y) + slope * radius;
}

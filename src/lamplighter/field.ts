import { length3 } from './arithmetic.ts';

/**
 * An implicit solid: negative inside, positive outside, in sculpt units, near the surface close to
 * the true distance. The building blocks follow the common closed forms for signed distances.
 */
export type Field = (x: number, y: number, z: number) => number;

export type Point = readonly [number, number, number];

/** Smooth minimum of two distances over a blend width (polynomial form; exact minimum beyond it). */
export function blend(a: number, b: number, width: number): number {
  const h = Math.max(0, width - Math.abs(a - b)) / width;
  return Math.min(a, b) - h * h * width * 0.25;
}

/** Union that melts its members together over `width`. */
export function melt(width: number, ...fields: readonly Field[]): Field {
  return (x, y, z) => {
    let d = fields[0]!(x, y, z);
    for (let i = 1; i < fields.length; i++) d = blend(d, fields[i]!(x, y, z), width);
    return d;
  };
}

export function unite(...fields: readonly Field[]): Field {
  return (x, y, z) => {
    let d = Number.POSITIVE_INFINITY;
    for (let i = 0; i < fields.length; i++) d = Math.min(d, fields[i]!(x, y, z));
    return d;
  };
}

export function carve(body: Field, tool: Field, width = 0): Field {
  if (width === 0) return (x, y, z) => Math.max(body(x, y, z), -tool(x, y, z));
  return (x, y, z) => -blend(-body(x, y, z), tool(x, y, z), width);
}

export function common(...fields: readonly Field[]): Field {
  return (x, y, z) => {
    let d = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < fields.length; i++) d = Math.max(d, fields[i]!(x, y, z));
    return d;
  };
}

/** `body` with room for another part that stands in it: that part's own field and a gap round it, sculpt units. */
export function fitted(body: Field, other: Field, gap: number): Field {
  return carve(body, (x, y, z) => other(x, y, z) - gap);
}

/** The half space on the far side of a plane: solid where axis·p ≤ offset; `axis` of length one. */
export function halfSpace(axis: Point, offset: number): Field {
  const [a, b, c] = axis;
  return (x, y, z) => a * x + b * y + c * z - offset;
}

export function ball(centre: Point, radius: number): Field {
  const [a, b, c] = centre;
  return (x, y, z) => length3(x - a, y - b, z - c) - radius;
}

export function ellipsoid(centre: Point, radii: Point): Field {
  const [a, b, c] = centre;
  const [p, q, r] = radii;
  const least = Math.min(p, q, r);
  return (x, y, z) => {
    const u = (x - a) / p;
    const v = (y - b) / q;
    const w = (z - c) / r;
    const k0 = length3(u, v, w);
    const k1 = length3(u / p, v / q, w / r);
    return k1 < 1e-9 ? -least : (k0 * (k0 - 1)) / k1;
  };
}

/** A limb: the straight piece from one ball to another, radii changing evenly between. */
export function limb(from: Point, to: Point, r0: number, r1: number): Field {
  const [a, b, c] = from;
  const dx = to[0] - a;
  const dy = to[1] - b;
  const dz = to[2] - c;
  const inverse = 1 / (dx * dx + dy * dy + dz * dz);
  return (x, y, z) => {
    const px = x - a;
    const py = y - b;
    const pz = z - c;
    const t = Math.min(1, Math.max(0, (px * dx + py * dy + pz * dz) * inverse));
    return length3(px - dx * t, py - dy * t, pz - dz * t) - (r0 + (r1 - r0) * t);
  };
}

/** A box with rounded edges; `half` are its half sizes, rounding included. */
export function block(centre: Point, half: Point, rounding: number): Field {
  const [a, b, c] = centre;
  return (x, y, z) => {
    const u = Math.abs(x - a) - half[0] + rounding;
    const v = Math.abs(y - b) - half[1] + rounding;
    const w = Math.abs(z - c) - half[2] + rounding;
    const out = length3(Math.max(u, 0), Math.max(v, 0), Math.max(w, 0));
    return out + Math.min(Math.max(u, v, w), 0) - rounding;
  };
}

/** A ring about a z-parallel axis; flattened or squeezed by `stretch` along y. */
export function ring(centre: Point, radius: number, thickness: number, stretch = 1): Field {
  const [a, b, c] = centre;
  return (x, y, z) => {
    const u = x - a;
    const v = (y - b) / stretch;
    const radial = Math.sqrt(u * u + v * v) - radius;
    const w = z - c;
    return Math.sqrt(radial * radial + w * w) - thickness;
  };
}

/** Turns a field about the x axis through `pivot` (cosine and sine of the angle given). */
export function tippedX(field: Field, pivot: Point, cos: number, sin: number): Field {
  const [, b, c] = pivot;
  return (x, y, z) => {
    const v = y - b;
    const w = z - c;
    return field(x, b + v * cos + w * sin, c - v * sin + w * cos);
  };
}

/** One row of an elliptic column: height, half width, half depth, and the centre's y. */
export type Station = readonly [z: number, a: number, b: number, y: number];

/** A body of elliptic cross-sections that follow stations along z (Catmull–Rom between them). */
export function column(stations: readonly Station[]): Field {
  const last = stations.length - 1;
  const at = (i: number): Station => stations[Math.min(last, Math.max(0, i))]!;
  return (x, y, z) => {
    let i = 0;
    while (i < last - 1 && z > at(i + 1)[0]) i++;
    const s0 = at(i - 1);
    const s1 = at(i);
    const s2 = at(i + 1);
    const s3 = at(i + 2);
    const t = Math.min(1, Math.max(0, (z - s1[0]) / (s2[0] - s1[0])));
    const a = spline(s0[1], s1[1], s2[1], s3[1], t);
    const b = spline(s0[2], s1[2], s2[2], s3[2], t);
    const v = y - spline(s0[3], s1[3], s2[3], s3[3], t);
    const p = x / a;
    const q = v / b;
    const k0 = Math.sqrt(p * p + q * q);
    const k1 = Math.sqrt((p / a) * (p / a) + (q / b) * (q / b));
    return k1 < 1e-9 ? -Math.min(a, b) : (k0 * (k0 - 1)) / k1;
  };
}

function spline(p0: number, p1: number, p2: number, p3: number, t: number): number {
  const m1 = (p2 - p0) * 0.5;
  const m2 = (p3 - p1) * 0.5;
  const t2 = t * t;
  const t3 = t2 * t;
  return (2 * t3 - 3 * t2 + 1) * p1 + (t3 - 2 * t2 + t) * m1 + (3 * t2 - 2 * t3) * p2 + (t3 - t2) * m2;
}

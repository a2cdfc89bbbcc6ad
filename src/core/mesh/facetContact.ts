/** How two facets meet. */
export const apart = 0;
/** Only in corners that both have, bit for bit, or along an edge between two such. */
export const sharedCorners = 1;
/** One passes through the other, lies on it, or touches it anywhere but in a shared corner. */
export const meeting = 2;
export type Contact = typeof apart | typeof sharedCorners | typeof meeting;

/** Signed volumes below this share of their terms are rounding and count as zero (touching). */
const rounding = 1e-13;

/**
 * How two triangles meet, float64. `a` and `b` hold nine coordinates each (three corners). Touching
 * counts, so transversal crossings are never missed: if two closed surfaces cross, an edge of one meets
 * a closed facet of the other. After Guigue & Devillers 2003 in spirit, by signed volumes; facets
 * without area never meet anything (their neighbours do).
 */
export function facetContact(a: Float64Array, b: Float64Array): Contact {
  const sidesOfA = sidesOf(a, b);
  if (sidesOfA === null || allOnOneSide(sidesOfA)) return apart;
  const sidesOfB = sidesOf(b, a);
  if (sidesOfB === null || allOnOneSide(sidesOfB)) return apart;
  if (sidesOfA.every((side) => side === 0)) return coplanarContact(a, b);
  const first = edgesThrough(a, sidesOfA, b);
  return first === meeting ? meeting : (Math.max(first, edgesThrough(b, sidesOfB, a)) as Contact);
}

type Sides = readonly [number, number, number];

/** Signs of a's corners against b's plane; null when b has no area. */
function sidesOf(a: Float64Array, b: Float64Array): Sides | null {
  const n = normalOf(b);
  const length = Math.hypot(n[0], n[1], n[2]);
  if (length === 0) return null;
  return [0, 3, 6].map((at) => {
    const x = a[at]! - b[0]!;
    const y = a[at + 1]! - b[1]!;
    const z = a[at + 2]! - b[2]!;
    const height = n[0] * x + n[1] * y + n[2] * z;
    return Math.abs(height) <= rounding * length * (Math.abs(x) + Math.abs(y) + Math.abs(z))
      ? 0
      : Math.sign(height);
  }) as unknown as Sides;
}

const allOnOneSide = (sides: Sides): boolean =>
  sides[0] !== 0 && sides[0] === sides[1] && sides[1] === sides[2];

function edgesThrough(a: Float64Array, sides: Sides, b: Float64Array): Contact {
  let contact: Contact = apart;
  for (let i = 0; i < 3; i++) {
    const j = (i + 1) % 3;
    const here = sides[i]!;
    if (here === 0 && holdsPoint(b, a, 3 * i)) {
      if (!isCorner(b, a, 3 * i)) return meeting;
      contact = sharedCorners;
    }
    if (here * sides[j]! < 0 && edgeHits(a, 3 * i, 3 * j, b)) return meeting;
  }
  return contact;
}

/** The edge's ends lie on either side of b's plane: it hits when it passes b's three edges on one side. */
function edgeHits(a: Float64Array, from: number, to: number, b: Float64Array): boolean {
  let positive = false;
  let negative = false;
  for (let i = 0; i < 3; i++) {
    const side = signedVolume(a, from, to, b, 3 * i, 3 * ((i + 1) % 3));
    if (side > 0) positive = true;
    if (side < 0) negative = true;
  }
  return !(positive && negative);
}

function signedVolume(
  a: Float64Array,
  from: number,
  to: number,
  b: Float64Array,
  p: number,
  q: number,
): number {
  const ux = a[to]! - a[from]!;
  const uy = a[to + 1]! - a[from + 1]!;
  const uz = a[to + 2]! - a[from + 2]!;
  const px = b[p]! - a[from]!;
  const py = b[p + 1]! - a[from + 1]!;
  const pz = b[p + 2]! - a[from + 2]!;
  const qx = b[q]! - a[from]!;
  const qy = b[q + 1]! - a[from + 1]!;
  const qz = b[q + 2]! - a[from + 2]!;
  const volume = ux * (py * qz - pz * qy) + uy * (pz * qx - px * qz) + uz * (px * qy - py * qx);
  const scale =
    (Math.abs(ux) + Math.abs(uy) + Math.abs(uz)) *
    (Math.abs(px) + Math.abs(py) + Math.abs(pz)) *
    (Math.abs(qx) + Math.abs(qy) + Math.abs(qz));
  return Math.abs(volume) <= rounding * scale ? 0 : volume;
}

function coplanarContact(a: Float64Array, b: Float64Array): Contact {
  const [u, v] = planeAxes(normalOf(b));
  let shared = 0;
  let contact: Contact = apart;
  for (let i = 0; i < 3; i++) {
    if (isCorner(b, a, 3 * i)) shared++;
    else if (holdsPoint(b, a, 3 * i)) return meeting;
    if (!isCorner(a, b, 3 * i) && holdsPoint(a, b, 3 * i)) return meeting;
    for (let j = 0; j < 3; j++) if (edgesCross(a, i, b, j, u, v)) return meeting;
  }
  if (shared === 3) return meeting;
  if (shared > 0) contact = sharedCorners;
  return contact;
}

/** Strictly, in the plane. */
function edgesCross(a: Float64Array, i: number, b: Float64Array, j: number, u: number, v: number): boolean {
  const [a0, a1, b0, b1] = [3 * i, 3 * ((i + 1) % 3), 3 * j, 3 * ((j + 1) % 3)];
  return (
    turn(a, a0, a, a1, b, b0, u, v) * turn(a, a0, a, a1, b, b1, u, v) < 0 &&
    turn(b, b0, b, b1, a, a0, u, v) * turn(b, b0, b, b1, a, a1, u, v) < 0
  );
}

/** Whether the closed triangle holds a point of its plane. */
function holdsPoint(triangle: Float64Array, points: Float64Array, at: number): boolean {
  const [u, v] = planeAxes(normalOf(triangle));
  let positive = false;
  let negative = false;
  for (let i = 0; i < 3; i++) {
    const side = turn(triangle, 3 * i, triangle, 3 * ((i + 1) % 3), points, at, u, v);
    if (side > 0) positive = true;
    if (side < 0) negative = true;
  }
  return !(positive && negative);
}

/** Sign of the turn p → q → r in the plane of axes u, v; 0 within rounding. */
function turn(
  p: Float64Array,
  pi: number,
  q: Float64Array,
  qi: number,
  r: Float64Array,
  ri: number,
  u: number,
  v: number,
): number {
  const x = q[qi + u]! - p[pi + u]!;
  const y = q[qi + v]! - p[pi + v]!;
  const s = r[ri + u]! - p[pi + u]!;
  const t = r[ri + v]! - p[pi + v]!;
  const area = x * t - y * s;
  const scale = (Math.abs(x) + Math.abs(y)) * (Math.abs(s) + Math.abs(t));
  return Math.abs(area) <= rounding * scale ? 0 : Math.sign(area);
}

function isCorner(triangle: Float64Array, points: Float64Array, at: number): boolean {
  for (let i = 0; i < 9; i += 3) {
    if (
      triangle[i] === points[at] &&
      triangle[i + 1] === points[at + 1] &&
      triangle[i + 2] === points[at + 2]
    ) {
      return true;
    }
  }
  return false;
}

function normalOf(t: Float64Array): [number, number, number] {
  const ux = t[3]! - t[0]!;
  const uy = t[4]! - t[1]!;
  const uz = t[5]! - t[2]!;
  const vx = t[6]! - t[0]!;
  const vy = t[7]! - t[1]!;
  const vz = t[8]! - t[2]!;
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

/** The two axes that keep most of a plane with this normal. */
function planeAxes(n: readonly number[]): [number, number] {
  const [x, y, z] = n.map(Math.abs) as [number, number, number];
  if (x >= y && x >= z) return [1, 2];
  return y >= z ? [2, 0] : [0, 1];
}

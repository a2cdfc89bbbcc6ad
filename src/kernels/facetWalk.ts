// What src/core/field/facetWalk.ts does, operation by operation: distances are equal to the last bit.
import { positions, ringFacets, ringStart, triangles } from './memory';

const MOST_STEPS = 24;
/** The region of a closest point within its facet; bits 1, 2, 4 alone name a corner, two of them an edge. */
const INSIDE = 7;

/** The point asked for. */
let queryX: f64 = 0;
let queryY: f64 = 0;
let queryZ: f64 = 0;

/** The closest point so far. */
export let foundSquared: f64 = Infinity;
export let foundFacet: i32 = -1;
export let foundX: f64 = 0;
export let foundY: f64 = 0;
export let foundZ: f64 = 0;

/** Asks for a point anew: nothing further than the root of `squared` will be found. */
export function ask(x: f64, y: f64, z: f64, squared: f64): void {
  queryX = x;
  queryY = y;
  queryZ = z;
  foundSquared = squared;
  foundFacet = -1;
}

/** Walks downhill from a facet; keeps what is closer than what was found. */
export function walk(facet: i32): void {
  let region = offerRing(nearestCorner(facet));
  for (let step = 0; step < MOST_STEPS && region !== 0 && region !== INSIDE; step++) {
    const t = triangles + <usize>foundFacet * 12;
    const first = load<u32>(t + ((region & 1) !== 0 ? 0 : (region & 2) !== 0 ? 4 : 8));
    if ((region & (region - 1)) === 0) {
      region = offerRing(first);
      continue;
    }
    const second = load<u32>(t + ((region & 4) !== 0 ? 8 : 4));
    const next = facetAcross(first, second, foundFacet);
    region = next < 0 ? 0 : offer(next);
  }
}

function nearestCorner(facet: i32): u32 {
  const t = triangles + <usize>facet * 12;
  let best: u32 = 0;
  let least = Infinity;
  for (let c: usize = 0; c < 12; c += 4) {
    const corner = load<u32>(t + c);
    const p = positions + <usize>corner * 12;
    const dx = <f64>load<f32>(p) - queryX;
    const dy = <f64>load<f32>(p, 4) - queryY;
    const dz = <f64>load<f32>(p, 8) - queryZ;
    const squared = dx * dx + dy * dy + dz * dz;
    if (squared >= least) continue;
    least = squared;
    best = corner;
  }
  return best;
}

/** Another facet on the edge of two corners, −1 where there is none. */
function facetAcross(first: u32, second: u32, facet: i32): i32 {
  const at = ringStart + ((<usize>first) << 2);
  const end = ringFacets + ((<usize>load<u32>(at, 4)) << 2);
  for (let n = ringFacets + ((<usize>load<u32>(at)) << 2); n < end; n += 4) {
    const other = load<i32>(n);
    if (other === facet) continue;
    const t = triangles + <usize>other * 12;
    if (load<u32>(t) === second || load<u32>(t, 4) === second || load<u32>(t, 8) === second) return other;
  }
  return -1;
}

function offerRing(corner: u32): i32 {
  const at = ringStart + ((<usize>corner) << 2);
  const end = ringFacets + ((<usize>load<u32>(at, 4)) << 2);
  let region = 0;
  for (let n = ringFacets + ((<usize>load<u32>(at)) << 2); n < end; n += 4) {
    const own = offer(load<i32>(n));
    if (own !== 0) region = own;
  }
  return region;
}

/**
 * Offers one facet: returns the region of the closest point in it, 0 when it is no closer than what was
 * found. Regions after Ericson, Real-Time Collision Detection (2005), 5.1.5.
 */
export function offer(facet: i32): i32 {
  const corner = triangles + <usize>facet * 12;
  const a = positions + <usize>load<u32>(corner) * 12;
  const b = positions + <usize>load<u32>(corner, 4) * 12;
  const c = positions + <usize>load<u32>(corner, 8) * 12;
  const ax = <f64>load<f32>(a);
  const ay = <f64>load<f32>(a, 4);
  const az = <f64>load<f32>(a, 8);
  const ux = <f64>load<f32>(b) - ax;
  const uy = <f64>load<f32>(b, 4) - ay;
  const uz = <f64>load<f32>(b, 8) - az;
  const vx = <f64>load<f32>(c) - ax;
  const vy = <f64>load<f32>(c, 4) - ay;
  const vz = <f64>load<f32>(c, 8) - az;
  const px = queryX - ax;
  const py = queryY - ay;
  const pz = queryZ - az;
  const d1 = ux * px + uy * py + uz * pz;
  const d2 = vx * px + vy * py + vz * pz;
  const uu = ux * ux + uy * uy + uz * uz;
  const uv = ux * vx + uy * vy + uz * vz;
  const vv = vx * vx + vy * vy + vz * vz;
  const d3 = d1 - uu;
  const d4 = d2 - uv;
  const d5 = d1 - uv;
  const d6 = d2 - vv;
  // Weights of b and c in the closest point.
  let s: f64 = 0;
  let t: f64 = 0;
  let region = 1;
  if (d1 > 0 || d2 > 0) {
    const vc = d1 * d4 - d3 * d2;
    const vb = d5 * d2 - d1 * d6;
    const va = d3 * d6 - d5 * d4;
    if (d3 >= 0 && d4 <= d3) {
      s = 1;
      region = 2;
    } else if (d6 >= 0 && d5 <= d6) {
      t = 1;
      region = 4;
    } else if (vc <= 0 && d1 >= 0 && d3 <= 0) {
      s = d1 / (d1 - d3);
      region = 3;
    } else if (vb <= 0 && d2 >= 0 && d6 <= 0) {
      t = d2 / (d2 - d6);
      region = 5;
    } else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
      region = 6;
      t = (d4 - d3) / (d4 - d3 + (d5 - d6));
      s = 1 - t;
    } else {
      const scale = 1 / (va + vb + vc);
      s = vb * scale;
      t = vc * scale;
      region = INSIDE;
    }
  }
  if (!(s >= 0 && t >= 0)) {
    // A facet without area: one of its edges stands for it.
    s = uu > 0 ? min<f64>(1, max<f64>(0, d1 / uu)) : 0;
    t = 0;
    region = 3;
  }
  const cx = s * ux + t * vx;
  const cy = s * uy + t * vy;
  const cz = s * uz + t * vz;
  const ex = px - cx;
  const ey = py - cy;
  const ez = pz - cz;
  const squared = ex * ex + ey * ey + ez * ez;
  if (squared >= foundSquared) return 0;
  foundSquared = squared;
  foundFacet = facet;
  foundX = ax + cx;
  foundY = ay + cy;
  foundZ = az + cz;
  return region;
}

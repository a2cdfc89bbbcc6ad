import { corners, facets, positions, reaches, ringFacets, ringStart, triangles } from './memory';

/** Rings of the facets that reach into heights [low, high], as src/core/field/facetRings.ts makes them. */
export function buildRings(low: f64, high: f64): void {
  memory.fill(ringStart, 0, (<usize>corners + 1) << 2);
  for (let f = 0; f < facets; f++) {
    const t = triangles + <usize>f * 12;
    const a = load<u32>(t);
    const b = load<u32>(t, 4);
    const c = load<u32>(t, 8);
    const isWithin = reachesInto(heightOf(a), heightOf(b), heightOf(c), low, high);
    store<u8>(reaches + <usize>f, <u8>isWithin);
    if (!isWithin) continue;
    count(a);
    count(b);
    count(c);
  }
  let total: u32 = 0;
  for (let v = 0; v <= corners; v++) {
    const at = ringStart + ((<usize>v) << 2);
    total += load<u32>(at);
    store<u32>(at, total);
  }
  for (let f = facets - 1; f >= 0; f--) {
    if (load<u8>(reaches + <usize>f) === 0) continue;
    const t = triangles + <usize>f * 12;
    enter(load<u32>(t), f);
    enter(load<u32>(t, 4), f);
    enter(load<u32>(t, 8), f);
  }
}

function reachesInto(a: f64, b: f64, c: f64, low: f64, high: f64): bool {
  return !((a < low && b < low && c < low) || (a > high && b > high && c > high));
}

function heightOf(corner: u32): f64 {
  return <f64>load<f32>(positions + <usize>corner * 12, 8);
}

function count(corner: u32): void {
  const at = ringStart + ((<usize>corner) << 2);
  store<u32>(at, load<u32>(at) + 1);
}

function enter(corner: u32, facet: i32): void {
  const at = ringStart + ((<usize>corner) << 2);
  const place = load<u32>(at) - 1;
  store<u32>(at, place);
  store<u32>(ringFacets + ((<usize>place) << 2), facet);
}

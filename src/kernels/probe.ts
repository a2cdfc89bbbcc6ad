import { ask, foundFacet, foundSquared, foundX, foundY, foundZ, offer, walk } from './facetWalk';
import { answer, query } from './memory';

// A `DepthProbe`: each asks for the point at `query`, and returns the closest facet and writes `answer`.

export function nearest(first: i32, second: i32): i32 {
  begin(Infinity);
  walk(first);
  if (second >= 0 && second !== first && second !== foundFacet) walk(second);
  return reply();
}

/** −1 when nothing is closer than the root of `squared`. */
export function nearer(first: i32, squared: f64): i32 {
  begin(squared);
  walk(first);
  return reply();
}

export function on(facet: i32): i32 {
  begin(Infinity);
  offer(facet);
  return reply();
}

function begin(squared: f64): void {
  ask(load<f64>(query), load<f64>(query, 8), load<f64>(query, 16), squared);
}

function reply(): i32 {
  store<f64>(answer, foundSquared);
  store<f64>(answer, foundX, 8);
  store<f64>(answer, foundY, 16);
  store<f64>(answer, foundZ, 24);
  return foundFacet;
}

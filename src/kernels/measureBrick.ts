import { ask, foundFacet, foundSquared, offer, walk } from './facetWalk';
import {
  band,
  bricksX,
  bricksY,
  depth,
  facet,
  gridFrom,
  level,
  originX,
  originY,
  originZ,
  reachMm,
  rowJump,
  rowOffsets,
  rowsInLayer,
  rowX,
  sampleFacet,
  spacing,
} from './memory';
import { inside, nearestSamples, sample, settledSquare, squared } from './nearestSamples';

const SHALLOW: f32 = -1;
const NODES = 512;

/** Depths and facets of a brick's nodes, as src/core/field/typescriptKernel.ts measures them. Returns a `BrickSide`. */
export function measureBrick(brick: i32): i32 {
  const bx = brick % bricksX;
  const by = (brick / bricksX) % bricksY;
  const bz = brick / (bricksX * bricksY);
  if (!readInside(bx, by, bz)) return 0;
  if (!nearestSamples(bx, by, bz)) return 1;
  const x0 = originX + <f64>(8 * bx) * spacing;
  const y0 = originY + <f64>(8 * by) * spacing;
  const z0 = originZ + <f64>(8 * bz) * spacing;
  if (settleNodes(x0, y0, z0)) {
    shareFacets(x0, y0, z0);
    return 2;
  }
  return <f64>load<f32>(depth) > level ? 1 : 0;
}

/** Marks the nodes inside; whether there are any. */
function readInside(bx: i32, by: i32, bz: i32): bool {
  const x0 = originX + <f64>(8 * bx) * spacing;
  const k0 = 8 * (bz - gridFrom);
  let any: u64 = 0;
  let at = inside;
  for (let k = k0; k < k0 + 8; k++) {
    for (let j = 8 * by; j < 8 * by + 8; j++) {
      const row = readRow(rowOffsets + ((<usize>(k * rowsInLayer + j)) << 2), x0);
      store<u64>(at, row);
      any |= row;
      at += 8;
    }
  }
  return any !== 0;
}

/** Eight bytes, 1 where a node of the row is inside. */
function readRow(offsets: usize, x0: f64): u64 {
  const end = load<u32>(offsets, 4);
  let c = load<u32>(offsets);
  if (c === end) return 0;
  let winding = 0;
  let row: u64 = 0;
  for (let i = 0; i < 8; i++) {
    const x = x0 + <f64>i * spacing;
    for (; c < end && <f64>load<f32>(rowX + ((<usize>c) << 2)) < x; c++)
      winding += load<i8>(rowJump + <usize>c);
    if (winding >= 1) row |= (<u64>1) << (8 * i);
  }
  return row;
}

/** Writes the nodes' depths; true when any may lie within a spacing of the level. */
function settleNodes(x0: f64, y0: f64, z0: f64): bool {
  let passes = false;
  for (let n = 0; n < NODES; n++) {
    const at = (<usize>n) << 2;
    store<i32>(facet + at, -1);
    const number = load<i32>(sample + at);
    const square = load<f32>(squared + at);
    if (load<u8>(inside + <usize>n) === 0 || (number >= 0 && square < settledSquare)) {
      store<f32>(depth + at, SHALLOW);
      continue;
    }
    const estimate = number < 0 ? reachMm : spacing * sqrt<f64>(<f64>square);
    store<f32>(depth + at, <f32>estimate);
    if (number < 0 || abs<f64>(estimate - level) >= band) continue;
    passes = true;
    askNode(n, x0, y0, z0, Infinity);
    walk(load<i32>(sampleFacet + ((<usize>number) << 2)));
    store<f32>(depth + at, <f32>sqrt<f64>(foundSquared));
    store<i32>(facet + at, foundFacet);
  }
  return passes;
}

function askNode(n: i32, x0: f64, y0: f64, z0: f64, within: f64): void {
  ask(x0 + <f64>(n & 7) * spacing, y0 + <f64>((n >> 3) & 7) * spacing, z0 + <f64>(n >> 6) * spacing, within);
}

/** Offers each measured node the closest facets of its neighbours. */
function shareFacets(x0: f64, y0: f64, z0: f64): void {
  for (let n = 0; n < NODES; n++) {
    if (load<i32>(facet + ((<usize>n) << 2)) < 0) continue;
    for (let shift = 0; shift < 9; shift += 3) {
      const along = (n >> shift) & 7;
      if (along !== 7) takeFrom(n, n + (1 << shift), x0, y0, z0);
      if (along !== 0) takeFrom(n, n - (1 << shift), x0, y0, z0);
    }
  }
}

function takeFrom(n: i32, neighbour: i32, x0: f64, y0: f64, z0: f64): void {
  const at = (<usize>n) << 2;
  const other = load<i32>(facet + ((<usize>neighbour) << 2));
  if (other < 0 || other === load<i32>(facet + at)) return;
  const own = <f64>load<f32>(depth + at);
  askNode(n, x0, y0, z0, own * own);
  if (offer(other) === 0) return;
  walk(other);
  store<f32>(depth + at, <f32>sqrt<f64>(foundSquared));
  store<i32>(facet + at, foundFacet);
}

import {
  bricksX,
  bricksY,
  bricksZ,
  candidateRoom,
  candidates,
  originX,
  originY,
  originZ,
  reachMm,
  samplePoints,
  sampleStart,
  settledMm,
  spacing,
  stepCount,
  steps,
} from './memory';

// The closest sample of every node of a brick. Coordinates are counted from the brick's first node in
// spacings, squares are f32: (x² + y²) + z², the least wins, the first of equals. Which samples are
// looked at does not change that, so blocks of nodes leave out those that cannot be the closest.

/** Half the diagonal of a block of 4³ nodes and of one of 2³ nodes, spacings. */
const HALF_OF_FOUR: f32 = 2.5980762;
const HALF_OF_TWO: f32 = 0.8660254;
/** More than all roundings in a distance, spacings. */
const SLACK: f32 = 1e-3;
const LAST: f32 = 7;

/** By node of the brick: the least square, and its sample, −1 where none is within reach. */
export const squared = memory.data(4 * 512, 16);
export const sample = memory.data(4 * 512, 16);
/** 1 for nodes that are asked for. */
export const inside = memory.data(512, 16);

/** Squares of the reach and of what settles a node, in spacings. */
export let settledSquare: f32 = 0;
let mostSquare: f32 = 0;
let reach: f32 = 0;
let settled: f32 = 0;
/** Lists of candidates: of the brick, of a block of 4³, of one of 2³; and squares of one list. */
let listBytes: usize = 0;
let squares: usize = 0;

function list(depth: usize): usize {
  return candidates + depth * (listBytes << 2);
}

/** Finds them; false when no sample is within reach of the brick. */
export function nearestSamples(bx: i32, by: i32, bz: i32): bool {
  const perMm = 1 / spacing;
  reach = <f32>(reachMm * perMm);
  settled = <f32>(settledMm * perMm);
  mostSquare = <f32>(reachMm * perMm * (reachMm * perMm));
  settledSquare = <f32>(settledMm * perMm * (settledMm * perMm));
  listBytes = (<usize>candidateRoom) << 2;
  squares = list(3);
  const count = gather(bx, by, bz, perMm);
  if (count === 0) return false;
  for (let k = 0; k < 8; k += 4) {
    for (let j = 0; j < 8; j += 4) {
      for (let i = 0; i < 8; i += 4) searchFour(count, i, j, k);
    }
  }
  return true;
}

/** Lists the samples within reach of the brick. */
function gather(bx: i32, by: i32, bz: i32, perMm: f64): i32 {
  const x0 = originX + <f64>(8 * bx) * spacing;
  const y0 = originY + <f64>(8 * by) * spacing;
  const z0 = originZ + <f64>(8 * bz) * spacing;
  const xs = list(0);
  let filled: usize = 0;
  for (let step = 0; step < stepCount; step++) {
    const s = steps + <usize>step * 12;
    const i = bx + load<i32>(s);
    const j = by + load<i32>(s, 4);
    const k = bz + load<i32>(s, 8);
    if (i < 0 || j < 0 || k < 0 || i >= bricksX || j >= bricksY || k >= bricksZ) continue;
    const start = sampleStart + ((<usize>(i + bricksX * (j + bricksY * k))) << 2);
    const end = load<u32>(start, 4);
    for (let n = load<u32>(start); n < end; n++) {
      const p = samplePoints + <usize>n * 12;
      const x = <f32>((<f64>load<f32>(p) - x0) * perMm);
      const y = <f32>((<f64>load<f32>(p, 4) - y0) * perMm);
      const z = <f32>((<f64>load<f32>(p, 8) - z0) * perMm);
      const ox = beyond(x);
      const oy = beyond(y);
      const oz = beyond(z);
      if (ox * ox + oy * oy + oz * oz >= mostSquare) continue;
      store<f32>(xs + filled, x);
      store<f32>(xs + listBytes + filled, y);
      store<f32>(xs + 2 * listBytes + filled, z);
      store<u32>(xs + 3 * listBytes + filled, n);
      filled += 4;
    }
  }
  closeList(xs, filled);
  return <i32>(filled >> 2);
}

/** How far a coordinate lies beyond the brick's nodes. */
function beyond(x: f32): f32 {
  return max<f32>(max<f32>(-x, x - LAST), 0);
}

/** What is read beyond a list's end is infinitely far. */
function closeList(xs: usize, bytes: usize): void {
  v128.store(xs + bytes, f32x4.splat(Infinity));
}

function searchFour(count: i32, i: i32, j: i32, k: i32): void {
  if (!isAsked(i, j, k, 4)) return;
  const centre: f32 = 1.5;
  const least = measure(list(0), count, <f32>i + centre, <f32>j + centre, <f32>k + centre);
  if (isDecided(least, HALF_OF_FOUR)) {
    fill(i, j, k, 4, least);
    return;
  }
  const left = select(0, count, least, HALF_OF_FOUR);
  for (let c = k; c < k + 4; c += 2) {
    for (let b = j; b < j + 4; b += 2) {
      for (let a = i; a < i + 4; a += 2) searchTwo(left, a, b, c);
    }
  }
}

function searchTwo(count: i32, i: i32, j: i32, k: i32): void {
  if (!isAsked(i, j, k, 2)) return;
  const centre: f32 = 0.5;
  const least = measure(list(1), count, <f32>i + centre, <f32>j + centre, <f32>k + centre);
  if (isDecided(least, HALF_OF_TWO)) fill(i, j, k, 2, least);
  else compare(select(1, count, least, HALF_OF_TWO), i, j, k);
}

/** Whether any node of a block is asked for. */
function isAsked(i: i32, j: i32, k: i32, edge: i32): bool {
  for (let c = k; c < k + edge; c++) {
    for (let b = j; b < j + edge; b++) {
      const at = inside + <usize>(i + 8 * (b + 8 * c));
      if (edge === 4 ? load<u32>(at) !== 0 : load<u16>(at) !== 0) return true;
    }
  }
  return false;
}

/** Whether the distance of a block's centre settles all of its nodes, or puts them out of reach. */
function isDecided(least: f32, half: f32): bool {
  return least + half + SLACK < settled || least - half - SLACK > reach;
}

/** Writes a decided block. */
function fill(i: i32, j: i32, k: i32, edge: i32, least: f32): void {
  const number = least < reach ? 0 : -1;
  for (let c = k; c < k + edge; c++) {
    for (let b = j; b < j + edge; b++) {
      for (let a = i; a < i + edge; a++) {
        const at = (<usize>(a + 8 * (b + 8 * c))) << 2;
        store<f32>(squared + at, -1);
        store<i32>(sample + at, number);
      }
    }
  }
}

/** Squares of a list's distances from a point; returns the least distance. */
function measure(xs: usize, count: i32, x: f32, y: f32, z: f32): f32 {
  const px = f32x4.splat(x);
  const py = f32x4.splat(y);
  const pz = f32x4.splat(z);
  const ys = xs + listBytes;
  const zs = ys + listBytes;
  const end = (<usize>count) << 2;
  let least = f32x4.splat(Infinity);
  for (let at: usize = 0; at < end; at += 16) {
    const dx = f32x4.sub(v128.load(xs + at), px);
    const dy = f32x4.sub(v128.load(ys + at), py);
    const dz = f32x4.sub(v128.load(zs + at), pz);
    const d = f32x4.add(f32x4.add(f32x4.mul(dx, dx), f32x4.mul(dy, dy)), f32x4.mul(dz, dz));
    v128.store(squares + at, d);
    least = f32x4.pmin(least, d);
  }
  const low = min<f32>(f32x4.extract_lane(least, 0), f32x4.extract_lane(least, 1));
  const high = min<f32>(f32x4.extract_lane(least, 2), f32x4.extract_lane(least, 3));
  return sqrt<f32>(min<f32>(low, high));
}

/**
 * Lists those of a measured list that can be the closest to a node no further than `half` from the
 * centre: a node's closest is no further from it than `least + half`. Order stays.
 */
function select(depth: usize, count: i32, least: f32, half: f32): i32 {
  const xs = list(depth);
  const to = list(depth + 1);
  const most = min<f32>(least + half, reach) + half + SLACK;
  const cut = f32x4.splat(most * most);
  const end = (<usize>count) << 2;
  let filled: usize = 0;
  for (let at: usize = 0; at < end; at += 16) {
    let near = i32x4.bitmask(f32x4.le(v128.load(squares + at), cut));
    while (near !== 0) {
      const from = xs + at + ((<usize>ctz(near)) << 2);
      near &= near - 1;
      store<u32>(to + filled, load<u32>(from));
      store<u32>(to + listBytes + filled, load<u32>(from + listBytes));
      store<u32>(to + 2 * listBytes + filled, load<u32>(from + 2 * listBytes));
      store<u32>(to + 3 * listBytes + filled, load<u32>(from + 3 * listBytes));
      filled += 4;
    }
  }
  closeList(to, filled);
  return <i32>(filled >> 2);
}

/** Compares all candidates at the eight nodes of a block of 2³. */
function compare(count: i32, i: i32, j: i32, k: i32): void {
  const xs = list(2);
  const ys = xs + listBytes;
  const zs = ys + listBytes;
  const numbers = zs + listBytes;
  const x = <f32>i;
  const y = <f32>j;
  const px = f32x4.replace_lane(f32x4.replace_lane(f32x4.splat(x), 1, x + 1), 3, x + 1);
  const py = f32x4.replace_lane(f32x4.replace_lane(f32x4.splat(y), 2, y + 1), 3, y + 1);
  const lowZ = f32x4.splat(<f32>k);
  const highZ = f32x4.splat(<f32>(k + 1));
  let low = f32x4.splat(mostSquare);
  let high = low;
  let lowSample = i32x4.splat(-1);
  let highSample = lowSample;
  const end = (<usize>count) << 2;
  for (let at: usize = 0; at < end; at += 4) {
    const dx = f32x4.sub(px, v128.load32_splat(xs + at));
    const dy = f32x4.sub(py, v128.load32_splat(ys + at));
    const z = v128.load32_splat(zs + at);
    const number = v128.load32_splat(numbers + at);
    const plane = f32x4.add(f32x4.mul(dx, dx), f32x4.mul(dy, dy));
    const dLow = f32x4.sub(lowZ, z);
    const dHigh = f32x4.sub(highZ, z);
    const squareLow = f32x4.add(plane, f32x4.mul(dLow, dLow));
    const squareHigh = f32x4.add(plane, f32x4.mul(dHigh, dHigh));
    lowSample = v128.bitselect(number, lowSample, f32x4.lt(squareLow, low));
    highSample = v128.bitselect(number, highSample, f32x4.lt(squareHigh, high));
    low = f32x4.pmin(low, squareLow);
    high = f32x4.pmin(high, squareHigh);
  }
  const node = (<usize>(i + 8 * (j + 8 * k))) << 2;
  storeFour(squared + node, low);
  storeFour(sample + node, lowSample);
  storeFour(squared + node + 256, high);
  storeFour(sample + node + 256, highSample);
}

/** Two nodes of a row, and two of the next. */
function storeFour(at: usize, values: v128): void {
  v128.store64_lane(at, values, 0);
  v128.store64_lane(at + 32, values, 1);
}

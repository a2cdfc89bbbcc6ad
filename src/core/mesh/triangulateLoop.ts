/** Loops up to this long get the surface of least area, longer ones are clipped ear by ear. */
const longestExact = 96;
const forbidden = 1e30;

/**
 * Triangulates a closed loop of points in space: `loop` holds x,y,z per corner, the triangles come as
 * corner indices and run the way the loop runs. `taken(i, j)` tells that corners i and j are joined
 * by an edge already, which a new chord avoids where it can.
 *
 * Short loops: the triangulation of least area by dynamic programming, O(n³) (Barequet & Sharir 1995,
 * "Filling gaps in the boundary of a polyhedron"), which of a flat loop, convex or not, is its inside.
 * Long loops: ear clipping in the plane of the loop's Newell normal, O(n²) at worst (Meisters 1975).
 */
export function triangulateLoop(loop: Float64Array, taken: (i: number, j: number) => boolean): Uint32Array {
  const corners = loop.length / 3;
  if (corners === 3) return Uint32Array.of(0, 1, 2);
  return corners <= longestExact ? leastArea(loop, taken) : clipEars(loop);
}

function leastArea(loop: Float64Array, taken: (i: number, j: number) => boolean): Uint32Array {
  const n = loop.length / 3;
  const cost = new Float64Array(n * n);
  const apex = new Uint8Array(n * n);
  for (let span = 2; span < n; span++) {
    for (let i = 0; i + span < n; i++) {
      const k = i + span;
      let best = Number.POSITIVE_INFINITY;
      for (let j = i + 1; j < k; j++) {
        const sum = cost[i * n + j]! + cost[j * n + k]! + triangleArea(loop, i, j, k);
        if (sum >= best) continue;
        best = sum;
        apex[i * n + k] = j;
      }
      const isChord = span < n - 1;
      cost[i * n + k] = best + (isChord && taken(i, k) ? forbidden : 0);
    }
  }
  const out = new Uint32Array(3 * (n - 2));
  const stack = [0, n - 1];
  let length = 0;
  while (stack.length > 0) {
    const k = stack.pop()!;
    const i = stack.pop()!;
    if (k - i < 2) continue;
    const j = apex[i * n + k]!;
    out[length++] = i;
    out[length++] = j;
    out[length++] = k;
    stack.push(i, j, j, k);
  }
  return out;
}

function triangleArea(p: Float64Array, i: number, j: number, k: number): number {
  const ux = p[3 * j]! - p[3 * i]!;
  const uy = p[3 * j + 1]! - p[3 * i + 1]!;
  const uz = p[3 * j + 2]! - p[3 * i + 2]!;
  const vx = p[3 * k]! - p[3 * i]!;
  const vy = p[3 * k + 1]! - p[3 * i + 1]!;
  const vz = p[3 * k + 2]! - p[3 * i + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  return Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
}

function clipEars(loop: Float64Array): Uint32Array {
  const flat = flattened(loop);
  const n = flat.length / 2;
  const before = Int32Array.from({ length: n }, (_, i) => (i + n - 1) % n);
  const after = Int32Array.from({ length: n }, (_, i) => (i + 1) % n);
  const out = new Uint32Array(3 * (n - 2));
  let length = 0;
  let left = n;
  let at = 0;
  let refused = 0;
  while (left > 2) {
    const a = before[at]!;
    const b = after[at]!;
    // After a whole round without an ear the loop crosses itself in the plane; any corner then serves.
    if (refused < left && !isEar(flat, after, a, at, b)) {
      refused++;
      at = b;
      continue;
    }
    out[length++] = a;
    out[length++] = at;
    out[length++] = b;
    after[a] = b;
    before[b] = a;
    left--;
    refused = 0;
    // Going on two corners further spreads the ears instead of making one fan.
    at = after[b]!;
  }
  return out;
}

function isEar(flat: Float64Array, after: Int32Array, a: number, corner: number, b: number): boolean {
  if (side(flat, a, corner, b) <= 0) return false;
  for (let v = after[b]!; v !== a; v = after[v]!) {
    if (side(flat, a, corner, v) >= 0 && side(flat, corner, b, v) >= 0 && side(flat, b, a, v) >= 0)
      return false;
  }
  return true;
}

/** Twice the signed area of three points of the plane. */
function side(p: Float64Array, a: number, b: number, c: number): number {
  const ax = p[2 * a]!;
  const ay = p[2 * a + 1]!;
  return (p[2 * b]! - ax) * (p[2 * c + 1]! - ay) - (p[2 * b + 1]! - ay) * (p[2 * c]! - ax);
}

/** Drops the axis along which the Newell normal is longest, keeping the loop counter-clockwise. */
function flattened(loop: Float64Array): Float64Array {
  const n = loop.length / 3;
  const normal = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    for (let axis = 0; axis < 3; axis++) {
      const u = (axis + 1) % 3;
      const v = (axis + 2) % 3;
      normal[axis]! += (loop[3 * i + u]! - loop[3 * j + u]!) * (loop[3 * i + v]! + loop[3 * j + v]!);
    }
  }
  const axis = normal.reduce((best, c, i) => (Math.abs(c) > Math.abs(normal[best]!) ? i : best), 0);
  const u = normal[axis]! < 0 ? (axis + 2) % 3 : (axis + 1) % 3;
  const v = normal[axis]! < 0 ? (axis + 1) % 3 : (axis + 2) % 3;
  const flat = new Float64Array(2 * n);
  for (let i = 0; i < n; i++) {
    flat[2 * i] = loop[3 * i + u]!;
    flat[2 * i + 1] = loop[3 * i + v]!;
  }
  return flat;
}

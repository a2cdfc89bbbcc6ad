type Corner = readonly [x: number, y: number];

/** Fewer points than this are cheaper to sort than to sift. */
const FEW = 2000;

/**
 * Corners of the convex hull of x and y of points of three numbers each. Points inside the octagon of the
 * outermost ones are sifted out first (Akl & Toussaint 1978), the rest goes round by Andrew's monotone
 * chain (1979).
 */
export function footprintHull(points: Float64Array | Float32Array): readonly Corner[] {
  const inside = points.length > 3 * FEW ? insideOctagon(points) : () => false;
  const sorted: Corner[] = [];
  for (let at = 0; at < points.length; at += 3) {
    const [x, y] = [points[at]!, points[at + 1]!];
    if (!inside(x, y)) sorted.push([x, y]);
  }
  sorted.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  return [...chain(sorted), ...chain(sorted.reverse())];
}

function insideOctagon(points: Float64Array | Float32Array): (x: number, y: number) => boolean {
  const ways = Array.from({ length: 8 }, (_, n): Corner => {
    const turn = (Math.PI * n) / 4;
    return [Math.cos(turn), Math.sin(turn)];
  });
  const far = ways.map(() => ({ most: -Infinity, corner: [0, 0] as Corner }));
  for (let at = 0; at < points.length; at += 3) {
    const [x, y] = [points[at]!, points[at + 1]!];
    for (let n = 0; n < 8; n++) {
      const along = ways[n]![0] * x + ways[n]![1] * y;
      if (along > far[n]!.most) far[n] = { most: along, corner: [x, y] };
    }
  }
  const corners = far.map(({ corner }) => corner);
  return (x, y) =>
    corners.every((from, n) => {
      const to = corners[(n + 1) % 8]!;
      const isPoint = from[0] === to[0] && from[1] === to[1];
      return isPoint || (to[0] - from[0]) * (y - from[1]) - (to[1] - from[1]) * (x - from[0]) > 0;
    });
}

function chain(sorted: readonly Corner[]): Corner[] {
  const hull: Corner[] = [];
  for (const point of sorted) {
    while (hull.length > 1 && !turnsLeft(hull.at(-2)!, hull.at(-1)!, point)) hull.pop();
    hull.push(point);
  }
  return hull;
}

const turnsLeft = (a: Corner, b: Corner, c: Corner): boolean =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0;

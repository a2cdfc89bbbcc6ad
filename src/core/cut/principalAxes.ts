import type { Mesh } from '../mesh/mesh.ts';
import type { Vec3 } from '../vector.ts';

const SWEEPS = 12;

/** The axes along which a closed mesh's surface is spread most, middling and least: unit vectors in its frame. */
export function principalAxes(mesh: Mesh): readonly Vec3[] {
  const spread = surfaceSpread(mesh);
  const axes = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  // Cyclic Jacobi (Jacobi 1846): each turn makes one pair of axes independent.
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (const [p, q] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ] as const)
      turnPair(spread, axes, p, q);
  }
  return [0, 1, 2]
    .sort((a, b) => spread[b]![b]! - spread[a]![a]!)
    .map((axis): Vec3 => [axes[0]![axis]!, axes[1]![axis]!, axes[2]![axis]!]);
}

function turnPair(m: number[][], axes: number[][], p: number, q: number): void {
  const shared = m[p]![q]!;
  if (Math.abs(shared) <= 1e-12 * (Math.abs(m[p]![p]!) + Math.abs(m[q]![q]!))) return;
  const theta = (m[q]![q]! - m[p]![p]!) / (2 * shared);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.hypot(theta, 1));
  const c = 1 / Math.hypot(t, 1);
  const s = t * c;
  const turn = (row: number[]): void => {
    const [a, b] = [row[p]!, row[q]!];
    row[p] = c * a - s * b;
    row[q] = s * a + c * b;
  };
  for (const row of m) turn(row);
  const [rowP, rowQ] = [[...m[p]!], [...m[q]!]];
  m[p] = rowP.map((value, k) => c * value - s * rowQ[k]!);
  m[q] = rowP.map((value, k) => s * value + c * rowQ[k]!);
  for (const row of axes) turn(row);
}

/** Second moments of the facets' middles about their mean, by area. */
function surfaceSpread({ positions, triangles }: Mesh): number[][] {
  const sums = new Float64Array(10);
  for (let at = 0; at < triangles.length; at += 3) {
    const a = 3 * triangles[at]!;
    const b = 3 * triangles[at + 1]!;
    const c = 3 * triangles[at + 2]!;
    const edge = (to: number, axis: number) => positions[to + axis]! - positions[a + axis]!;
    const nx = edge(b, 1) * edge(c, 2) - edge(b, 2) * edge(c, 1);
    const ny = edge(b, 2) * edge(c, 0) - edge(b, 0) * edge(c, 2);
    const nz = edge(b, 0) * edge(c, 1) - edge(b, 1) * edge(c, 0);
    const area = Math.sqrt(nx * nx + ny * ny + nz * nz);
    const x = (positions[a]! + positions[b]! + positions[c]!) / 3;
    const y = (positions[a + 1]! + positions[b + 1]! + positions[c + 1]!) / 3;
    const z = (positions[a + 2]! + positions[b + 2]! + positions[c + 2]!) / 3;
    sums[0]! += area;
    sums[1]! += area * x;
    sums[2]! += area * y;
    sums[3]! += area * z;
    sums[4]! += area * x * x;
    sums[5]! += area * x * y;
    sums[6]! += area * x * z;
    sums[7]! += area * y * y;
    sums[8]! += area * y * z;
    sums[9]! += area * z * z;
  }
  const [area, x, y, z, xx, xy, xz, yy, yz, zz] = [...sums] as [number, ...number[]] as number[];
  const about = (second: number, first: number, other: number) =>
    area! > 0 ? second / area! - (first / area!) * (other / area!) : 0;
  const [sxy, sxz, syz] = [about(xy!, x!, y!), about(xz!, x!, z!), about(yz!, y!, z!)];
  return [
    [about(xx!, x!, x!), sxy, sxz],
    [sxy, about(yy!, y!, y!), syz],
    [sxz, syz, about(zz!, z!, z!)],
  ];
}

import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { add, scale, type Vec3 } from '../vector.ts';

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

/**
 * Second moments of the surface about its mean, by area. Of a facet with corners a, b, c and their sum s:
 * area/12 · (aaᵀ + bbᵀ + ccᵀ + ssᵀ).
 */
function surfaceSpread({ positions, triangles }: Mesh): number[][] {
  const { min, max } = boundsOf(positions);
  const middle = scale(add(min, max), 0.5);
  const corner = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  let area = 0;
  const first = [0, 0, 0];
  const second = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  for (let at = 0; at < triangles.length; at += 3) {
    for (let n = 0; n < 9; n++) {
      const axis = n % 3;
      corner[n] = positions[3 * triangles[at + (n - axis) / 3]! + axis]! - middle[axis]!;
    }
    const edge = (of: number, axis: number) => corner[3 * of + axis]! - corner[axis]!;
    const nx = edge(1, 1) * edge(2, 2) - edge(1, 2) * edge(2, 1);
    const ny = edge(1, 2) * edge(2, 0) - edge(1, 0) * edge(2, 2);
    const nz = edge(1, 0) * edge(2, 1) - edge(1, 1) * edge(2, 0);
    const facet = Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
    area += facet;
    for (let p = 0; p < 3; p++) {
      const sum = corner[p]! + corner[3 + p]! + corner[6 + p]!;
      first[p]! += (facet * sum) / 3;
      for (let q = p; q < 3; q++) {
        const others = corner[q]! + corner[3 + q]! + corner[6 + q]!;
        const own =
          corner[p]! * corner[q]! + corner[3 + p]! * corner[3 + q]! + corner[6 + p]! * corner[6 + q]!;
        second[p]![q]! += (facet / 12) * (own + sum * others);
      }
    }
  }
  if (area === 0) return second;
  return [0, 1, 2].map((p) =>
    [0, 1, 2].map((q) => {
      const sum = second[Math.min(p, q)]![Math.max(p, q)]!;
      return sum / area - (first[p]! / area) * (first[q]! / area);
    }),
  );
}

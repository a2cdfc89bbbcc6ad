import type { Mesh } from './mesh.ts';

/** Twice the area against the square of the longest side, below which a facet has none. */
const flatness = 1e-12;

/** Per facet 0 = sound, 1 = two equal corners, 2 = three corners on a line. */
export function findDegenerate(mesh: Mesh): Uint8Array {
  const { positions: p, triangles: t } = mesh;
  const kind = new Uint8Array(t.length / 3);
  for (let f = 0; f < kind.length; f++) {
    const a = t[3 * f]! * 3;
    const b = t[3 * f + 1]! * 3;
    const c = t[3 * f + 2]! * 3;
    if (a === b || b === c || c === a) {
      kind[f] = 1;
      continue;
    }
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const u = ux * ux + uy * uy + uz * uz;
    const v = vx * vx + vy * vy + vz * vz;
    const longest = Math.max(u, v);
    if (nx * nx + ny * ny + nz * nz <= longest * longest * flatness * flatness) kind[f] = 2;
  }
  return kind;
}

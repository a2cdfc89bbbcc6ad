import { boundsOf } from '../../src/core/mesh/boundsOf.ts';
import type { MassProperties } from '../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import type { Box, Vec3 } from '../../src/core/vector.ts';

/** `massProperties` facet by facet: all eight sums at once. */
export function massFacetByFacet(mesh: Mesh): MassProperties {
  const { positions: p, triangles: t } = mesh;
  const bounds = boundsOf(p);
  const [ox, oy, oz] = middleOf(bounds);
  // 0 volume, 1–3 its moments, 4 area, 5–7 its moments.
  const sums = new Float64Array(8);
  const lost = new Float64Array(8);
  const term = new Float64Array(8);
  for (let i = 0; i < t.length; i += 3) {
    const a = t[i]! * 3;
    const b = t[i + 1]! * 3;
    const c = t[i + 2]! * 3;
    const ax = p[a]! - ox;
    const ay = p[a + 1]! - oy;
    const az = p[a + 2]! - oz;
    const bx = p[b]! - ox;
    const by = p[b + 1]! - oy;
    const bz = p[b + 2]! - oz;
    const cx = p[c]! - ox;
    const cy = p[c + 1]! - oy;
    const cz = p[c + 2]! - oz;
    const volume = (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6;
    const nx = (by - ay) * (cz - az) - (bz - az) * (cy - ay);
    const ny = (bz - az) * (cx - ax) - (bx - ax) * (cz - az);
    const nz = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    const area = Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
    const mx = ax + bx + cx;
    const my = ay + by + cy;
    const mz = az + bz + cz;
    term[0] = volume;
    term[1] = (volume * mx) / 4;
    term[2] = (volume * my) / 4;
    term[3] = (volume * mz) / 4;
    term[4] = area;
    term[5] = (area * mx) / 3;
    term[6] = (area * my) / 3;
    term[7] = (area * mz) / 3;
    addCompensated(sums, lost, term);
  }
  for (let i = 0; i < 8; i++) sums[i]! += lost[i]!;
  return { volume: sums[0]!, area: sums[4]!, centroid: centroidOf(sums, bounds), bounds };
}

function addCompensated(sums: Float64Array, lost: Float64Array, term: Float64Array): void {
  for (let i = 0; i < 8; i++) {
    const sum = sums[i]!;
    const value = term[i]!;
    const next = sum + value;
    lost[i]! += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sums[i] = next;
  }
}

/** Below this share of (area · size) the volume is rounding and says nothing about a centre. */
const nilVolume = 1e-9;

function centroidOf(sums: Float64Array, bounds: Box): Vec3 {
  const [ox, oy, oz] = middleOf(bounds);
  const size = Math.hypot(...bounds.max.map((high, axis) => high - bounds.min[axis]!));
  const first = Math.abs(sums[0]!) > nilVolume * sums[4]! * size ? 0 : 4;
  const weight = sums[first]!;
  if (weight === 0) return [ox, oy, oz];
  return [ox + sums[first + 1]! / weight, oy + sums[first + 2]! / weight, oz + sums[first + 3]! / weight];
}

const middleOf = ({ min, max }: Box): Vec3 => [
  (min[0] + max[0]) / 2,
  (min[1] + max[1]) / 2,
  (min[2] + max[2]) / 2,
];

import type { Interrupter } from '../interrupter.ts';
import type { Box, Vec3 } from '../vector.ts';
import { boundsOf } from './boundsOf.ts';
import type { Mesh } from './mesh.ts';

export interface MassProperties {
  /** Σ v1·(v2×v3)/6 as oriented; negative = inside out. */
  readonly volume: number;
  readonly area: number;
  /** Of the volume; of the surface where the volume is nil. */
  readonly centroid: Vec3;
  readonly bounds: Box;
}

const facetsPerTick = 1 << 16;
/** Terms of this many facets are worked out before they are summed, sum by sum. */
const columnFacets = 256;
const sumsInAll = 8;

/**
 * Volume, area, centroid and bounds in the mesh's frame and unit, float64. Volumes are taken about
 * the centre of the bounds, which keeps the terms small (of an open mesh the figure depends on that
 * point), and summed with compensation (Neumaier 1974) so that millions of facets lose nothing.
 */
export function massProperties(mesh: Mesh, interrupter: Interrupter): MassProperties {
  const facets = mesh.triangles.length / 3;
  const bounds = boundsOf(mesh.positions);
  const origin = middleOf(bounds);
  // 0 volume, 1–3 its moments, 4 area, 5–7 its moments.
  const sums = new Float64Array(sumsInAll);
  const lost = new Float64Array(sumsInAll);
  const columns = Array.from(sums, () => new Float64Array(columnFacets));
  for (let from = 0; from < facets; from += columnFacets) {
    if (from % facetsPerTick === 0) interrupter(from / facets);
    const to = Math.min(facets, from + columnFacets);
    fillColumns(mesh, origin, from, to, columns);
    for (let i = 0; i < sumsInAll; i++) addColumn(sums, lost, i, columns[i]!, to - from);
  }
  for (let i = 0; i < sumsInAll; i++) sums[i]! += lost[i]!;
  return { volume: sums[0]!, area: sums[4]!, centroid: centroidOf(sums, bounds), bounds };
}

function fillColumns(
  { positions: p, triangles: t }: Mesh,
  [ox, oy, oz]: Vec3,
  from: number,
  to: number,
  columns: readonly Float64Array[],
): void {
  const [volumes, vx, vy, vz, areas, sx, sy, sz] = columns as unknown as ColumnTuple;
  for (let f = from, i = 0; f < to; f++, i++) {
    const a = t[3 * f]! * 3;
    const b = t[3 * f + 1]! * 3;
    const c = t[3 * f + 2]! * 3;
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
    volumes[i] = volume;
    vx[i] = (volume * mx) / 4;
    vy[i] = (volume * my) / 4;
    vz[i] = (volume * mz) / 4;
    areas[i] = area;
    sx[i] = (area * mx) / 3;
    sy[i] = (area * my) / 3;
    sz[i] = (area * mz) / 3;
  }
}

type ColumnTuple = readonly [
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
];

function addColumn(
  sums: Float64Array,
  lost: Float64Array,
  which: number,
  column: Float64Array,
  length: number,
): void {
  let sum = sums[which]!;
  let rest = lost[which]!;
  for (let i = 0; i < length; i++) {
    const value = column[i]!;
    const next = sum + value;
    rest += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
  }
  sums[which] = sum;
  lost[which] = rest;
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

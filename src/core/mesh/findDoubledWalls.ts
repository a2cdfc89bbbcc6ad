import { type Interrupter, portion } from '../interrupter.ts';
import type { DoubledWall } from '../kit/partFacts.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import type { Lattice } from '../rays/lattice.ts';
import type { RayGrid } from '../rays/rayGrid.ts';
import { joinSets, numberSets, singletons } from '../unionFind.ts';
import { boundsOf } from './boundsOf.ts';
import type { Mesh } from './mesh.ts';

/** Rays across the longest side of the part; three grids of at most this many squared rows. */
const raysAcross = 256;
/** Facets count as parallel within 25°: common practice, no source. */
const parallelCosine = Math.cos((25 * Math.PI) / 180);
/** Closer faces are those of two bodies that lie flush, and nothing once they are united. */
const flushMm = 0.01;
/** Patches of fewer rays are what the edge of an overlap looks like. */
const leastRays = 12;

/**
 * Patches where a wall stands twice, mm of the posed mesh's frame: along a ray the winding number goes
 * 0 → 1 → 2 within one wall, and comes back 2 → 1 → 0 within one wall, across near-parallel facets at
 * both ends. Bodies that overlap show this at one end at most, so a limb sunk into a torso is none.
 *
 * Rays run in all three axes, `longest side / 256` apart but never closer than a quarter of the wall;
 * each patch of surface is judged by the axis it faces most. Smaller doublings than 12 rays are not seen.
 * Patches are joined over neighbouring rays and listed largest first.
 */
export function findDoubledWalls(mesh: Mesh, wallMm: number, interrupter: Interrupter): DoubledWall[] {
  const spacing = Math.max(wallMm / 4, longestSide(mesh) / raysAcross);
  const found: Sample[] = [];
  for (let axis = 0; axis < 3; axis++) {
    const along = axesTurned(mesh, axis);
    const grid = buildRayGrid(
      along,
      latticeOver(along, spacing),
      portion(interrupter, axis / 3, (axis + 1) / 3),
      {
        facets: true,
      },
    );
    for (const sample of doubledSamples({ grid, mesh: along, axis, wallMm }))
      found.push(turnedBack(sample, axis));
  }
  return patches(found, spacing);
}

interface Sample {
  readonly at: readonly [number, number, number];
  readonly gapMm: number;
  readonly areaMm2: number;
}

function longestSide(mesh: Mesh): number {
  const { min, max } = boundsOf(mesh.positions);
  return Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
}

/** Turns the axes cyclically so that `axis` becomes x; handedness stays. */
function axesTurned(mesh: Mesh, axis: number): Mesh {
  if (axis === 0) return mesh;
  const positions = new Float32Array(mesh.positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    for (let to = 0; to < 3; to++) positions[i + to] = mesh.positions[i + ((to + axis) % 3)]!;
  }
  return { positions, triangles: mesh.triangles };
}

function turnedBack(sample: Sample, axis: number): Sample {
  const at: [number, number, number] = [0, 0, 0];
  for (let to = 0; to < 3; to++) at[(to + axis) % 3] = sample.at[to]!;
  return { ...sample, at };
}

function latticeOver(mesh: Mesh, spacing: number): Lattice {
  const { min, max } = boundsOf(mesh.positions);
  return {
    y0: min[1],
    dy: spacing,
    rows: Math.max(1, Math.ceil((max[1] - min[1]) / spacing)),
    z0: min[2],
    dz: spacing,
    layers: Math.max(1, Math.ceil((max[2] - min[2]) / spacing)),
  };
}

/** One of the three grids, its rays along the part's `axis`. */
interface Look {
  readonly grid: RayGrid;
  readonly mesh: Mesh;
  readonly axis: number;
  readonly wallMm: number;
}

function doubledSamples(look: Look): Sample[] {
  const { lattice, offsets } = look.grid;
  const samples: Sample[] = [];
  for (let row = 0; row + 1 < offsets.length; row++) {
    const y = lattice.y0 + ((row % lattice.rows) + 0.5) * lattice.dy;
    const z = lattice.z0 + (Math.floor(row / lattice.rows) + 0.5) * lattice.dz;
    addDoubledOfRow(look, row, y, z, samples);
  }
  return samples;
}

/** Looks at each stretch between two places of winding 0. */
function addDoubledOfRow(look: Look, row: number, y: number, z: number, samples: Sample[]): void {
  const { offsets, jump } = look.grid;
  let winding = 0;
  let first = offsets[row]!;
  for (let i = first; i < offsets[row + 1]!; i++) {
    winding += jump[i]!;
    if (winding !== 0) continue;
    if (i - first >= 3) {
      const entry = pairAt(look, first, first + 1);
      const exit = pairAt(look, i, i - 1);
      if (entry !== null && exit !== null) addPair(look.grid, y, z, entry, exit, samples);
    }
    first = i + 1;
  }
}

interface Pair {
  readonly x: number;
  readonly gapMm: number;
  /** Share of the facet's normal that lies along the ray. */
  readonly slant: number;
  readonly facesRay: boolean;
}

/** An outer and an inner crossing as a doubled wall; null when they are none. */
function pairAt({ grid, mesh, axis, wallMm }: Look, outer: number, inner: number): Pair | null {
  if (grid.jump[outer] !== grid.jump[inner]) return null;
  const n = unitNormal(mesh, grid.facet![outer]!);
  const m = unitNormal(mesh, grid.facet![inner]!);
  if (!(n[0]! * m[0]! + n[1]! * m[1]! + n[2]! * m[2]! >= parallelCosine)) return null;
  const slant = Math.abs(n[0]!);
  const gapMm = Math.abs(grid.x[inner]! - grid.x[outer]!) * slant;
  if (gapMm > wallMm || gapMm < flushMm) return null;
  return { x: grid.x[outer]!, gapMm, slant, facesRay: facesFirstAxis(n, axis) };
}

/** Whether the turned normal is longest along its first axis; of equals the part's earlier axis wins. */
function facesFirstAxis(n: readonly number[], axis: number): boolean {
  const beats = (other: number) => {
    const difference = Math.abs(n[0]!) - Math.abs(n[other]!);
    return difference > 0 || (difference === 0 && axis < (axis + other) % 3);
  };
  return beats(1) && beats(2);
}

/** Each end counts only when it faces this axis most, so that the three grids share the surface out. */
function addPair(
  { lattice }: RayGrid,
  y: number,
  z: number,
  entry: Pair,
  exit: Pair,
  samples: Sample[],
): void {
  for (const { x, gapMm, slant, facesRay } of [entry, exit]) {
    if (facesRay) samples.push({ at: [x, y, z], gapMm, areaMm2: (lattice.dy * lattice.dz) / slant });
  }
}

function unitNormal({ positions: p, triangles: t }: Mesh, facet: number): number[] {
  const a = 3 * t[3 * facet]!;
  const b = 3 * t[3 * facet + 1]!;
  const c = 3 * t[3 * facet + 2]!;
  const u = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!] as const;
  const v = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!] as const;
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const length = Math.hypot(...n);
  return n.map((c) => c / length);
}

/** Samples in the same or neighbouring cells of twice the spacing are one patch. */
function patches(samples: readonly Sample[], spacing: number): DoubledWall[] {
  const cells = new Map<number, number>();
  const sets = singletons(samples.length);
  const origin = samples[0]?.at ?? [0, 0, 0];
  samples.forEach(({ at }, i) => {
    const [x, y, z] = at.map((c, axis) => Math.floor((c - origin[axis]!) / (2 * spacing)));
    for (let n = 0; n < 27; n++) {
      const key = cellKey(x! - 1 + (n % 3), y! - 1 + (Math.floor(n / 3) % 3), z! - 1 + Math.floor(n / 9));
      const other = cells.get(key);
      if (other !== undefined) joinSets(sets, other, i);
    }
    const own = cellKey(x!, y!, z!);
    if (!cells.has(own)) cells.set(own, i);
  });
  const { label, count } = numberSets(sets);
  const members: Sample[][] = Array.from({ length: count }, () => []);
  samples.forEach((sample, i) => {
    members[label[i]!]!.push(sample);
  });
  return members
    .filter((patch) => patch.length >= leastRays)
    .map(describePatch)
    .sort((a, b) => b.areaMm2 - a.areaMm2);
}

/** A part is at most `raysAcross` cells wide, so ten bits and a sign an axis are enough. */
const cellKey = (x: number, y: number, z: number): number => (x * 2048 + y) * 2048 + z;

/** Total area, area-weighted gap, and the sample nearest the patch's middle, so that the place lies on the surface. */
function describePatch(patch: readonly Sample[]): DoubledWall {
  let areaMm2 = 0;
  let gap = 0;
  const middle = [0, 0, 0];
  for (const sample of patch) {
    areaMm2 += sample.areaMm2;
    gap += sample.gapMm * sample.areaMm2;
    for (let axis = 0; axis < 3; axis++) middle[axis]! += sample.at[axis]! * sample.areaMm2;
  }
  const distance = ({ at }: Sample) =>
    Math.hypot(at[0] - middle[0]! / areaMm2, at[1] - middle[1]! / areaMm2, at[2] - middle[2]! / areaMm2);
  const at = patch.reduce((best, sample) => (distance(sample) < distance(best) ? sample : best)).at;
  return { areaMm2, gapMm: gap / areaMm2, at };
}

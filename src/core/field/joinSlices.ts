import { type Interrupter, portion, uninterrupted } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import { findRoot, joinSets, singletons } from '../unionFind.ts';
import type { Vec3 } from '../vector.ts';
import type { Cavity, Chamber, Lump } from './cavity.ts';
import type { ThinSpot } from './contourField.ts';
import { type DepthClimber, depthClimber } from './deepestPoint.ts';
import type { FieldLattice } from './fieldLattice.ts';
import type { HollowSlice } from './hollowSlice.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/**
 * The cavity of neighbouring slices that make up the lattice together: surfaces are sewn along their
 * seams, chambers joined across them, those under the least volume left out. Null when two slices
 * have settled their seam differently.
 */
export function joinSlices(
  mesh: Mesh,
  lattice: FieldLattice,
  slices: readonly HollowSlice[],
  wallMm: number,
  leastChamberMm3: number,
  interrupter: Interrupter,
): Cavity | null {
  const surface = sew(slices);
  if (surface === null) return null;
  const { numbers, chambers } = joinChambers(slices);
  const order = chambers
    .map((_, n) => n)
    .sort((a, b) => chambers[b]!.volumeMm3 - chambers[a]!.volumeMm3 || a - b);
  const kept = order.filter((n) => chambers[n]!.volumeMm3 >= leastChamberMm3);
  const left = order.filter((n) => chambers[n]!.volumeMm3 < leastChamberMm3);
  const rank = new Int32Array(chambers.length).fill(-1);
  kept.forEach((n, position) => {
    rank[n] = position;
  });
  const chamberOfFacet = new Int32Array(surface.triangles.length / 3);
  let facets = 0;
  slices.forEach(({ facetChamber }, n) => {
    for (let f = 0; f < facetChamber.length; f++)
      chamberOfFacet[facets++] = rank[numbers[n]![facetChamber[f]!]!]!;
  });
  const cavity =
    left.length === 0
      ? { mesh: surface, facetChamber: new Uint32Array(chamberOfFacet) }
      : keepChambers(surface, chamberOfFacet, portion(interrupter, 0, 0.2));
  let opened: DepthClimber | null = null;
  const climber = (): DepthClimber => {
    opened ??= climberOf(mesh, lattice, slices);
    return opened;
  };
  const leftSolid = left.map((n) => chambers[n]!);
  return {
    ...cavity,
    chambers: kept.map((n) => chambers[n]!),
    leftSolid,
    lumps: lumpsOf(leftSolid, cavity.mesh, climber, wallMm),
    deepestMm: kept.length > 0 ? null : climber().deepest(portion(interrupter, 0.2, 1)),
    thinnest: kept.length > 0 ? thinnestOf(slices) : null,
    keptMm3: sumKept(slices),
    spacingMm: lattice.spacing,
  };
}

function thinnestOf(slices: readonly HollowSlice[]): ThinSpot | null {
  return slices.reduce<ThinSpot | null>(
    (least, { thinnest }) =>
      thinnest !== null && (least === null || thinnest.wallMm < least.wallMm) ? thinnest : least,
    null,
  );
}

function sumKept(slices: readonly HollowSlice[]): number[] {
  return Array.from(slices[0]!.keptMm3, (_, region) =>
    slices.reduce((sum, { keptMm3 }) => sum + keptMm3[region]!, 0),
  );
}

/** One mesh of all slices: what a slice borrows are the vertices that the slice before lends. */
function sew(slices: readonly HollowSlice[]): Mesh | null {
  const positions = new Float32Array(total(slices.map((slice) => slice.positions)));
  const triangles = new Uint32Array(total(slices.map((slice) => slice.triangles)));
  let vertices = 0;
  let corners = 0;
  let lent = new Map<number, number>();
  for (const slice of slices) {
    const borrowed = slice.borrowedKeys.length;
    if (borrowed !== lent.size) return null;
    const borrowedVertices = Uint32Array.from(slice.borrowedKeys, (key) => lent.get(key) ?? 0xffffffff);
    if (borrowedVertices.includes(0xffffffff)) return null;
    positions.set(slice.positions, 3 * vertices);
    for (let n = 0; n < slice.triangles.length; n++) {
      const corner = slice.triangles[n]!;
      triangles[corners++] = corner < borrowed ? borrowedVertices[corner]! : corner - borrowed + vertices;
    }
    lent = new Map();
    for (let n = 0; n < slice.lentKeys.length; n++)
      lent.set(slice.lentKeys[n]!, slice.lentVertices[n]! - borrowed + vertices);
    vertices += slice.positions.length / 3;
  }
  return { positions, triangles };
}

const total = (parts: readonly { readonly length: number }[]): number =>
  parts.reduce((sum, { length }) => sum + length, 0);

/** Chamber number in the whole, by slice and chamber of the slice; chambers with their volumes and centroids. */
function joinChambers(slices: readonly HollowSlice[]): { numbers: Int32Array[]; chambers: Chamber[] } {
  const starts = slices.map((_, n) => total(slices.slice(0, n).map(({ sums }) => sums)) / 4);
  const count = total(slices.map(({ sums }) => sums)) / 4;
  const parent = singletons(count);
  for (let n = 1; n < slices.length; n++) {
    const below = slices[n - 1]!.nextPlane;
    const above = slices[n]!.firstPlane;
    for (let node = 0; node < below.length; node++) {
      if (below[node]! < 0 || above[node]! < 0) continue;
      const a = findRoot(parent, starts[n - 1]! + below[node]!);
      const b = findRoot(parent, starts[n]! + above[node]!);
      if (a !== b) joinSets(parent, a, b);
    }
  }
  const numberOfRoot = new Map<number, number>();
  const sums: Float64Array[] = [];
  const numbers = slices.map((slice, n) =>
    Int32Array.from({ length: slice.sums.length / 4 }, (_, chamber) => {
      const root = findRoot(parent, starts[n]! + chamber);
      let number = numberOfRoot.get(root);
      if (number === undefined) {
        number = numberOfRoot.size;
        numberOfRoot.set(root, number);
        sums.push(new Float64Array(4));
      }
      for (let i = 0; i < 4; i++) sums[number]![i]! += slice.sums[4 * chamber + i]!;
      return number;
    }),
  );
  const chambers = sums.map(
    ([volume = 0, x = 0, y = 0, z = 0]): Chamber => ({
      volumeMm3: volume,
      centroid: [x / volume, y / volume, z / volume],
    }),
  );
  return { numbers, chambers };
}

/** The facets of the chambers that got a number, with their vertices. */
function keepChambers(
  mesh: Mesh,
  chamberOfFacet: Int32Array,
  interrupter: Interrupter,
): { mesh: Mesh; facetChamber: Uint32Array } {
  const triangles = new Uint32Array(mesh.triangles.length);
  const facetChamber = new Uint32Array(chamberOfFacet.length);
  const newVertex = new Int32Array(mesh.positions.length / 3).fill(-1);
  const positions = new Float32Array(mesh.positions.length);
  let vertices = 0;
  let facets = 0;
  for (let f = 0; f < chamberOfFacet.length; f++) {
    if ((f & 0xffff) === 0) interrupter(f / chamberOfFacet.length);
    const chamber = chamberOfFacet[f]!;
    if (chamber < 0) continue;
    for (let c = 0; c < 3; c++) {
      const vertex = mesh.triangles[3 * f + c]!;
      if (newVertex[vertex]! < 0) {
        for (let axis = 0; axis < 3; axis++)
          positions[3 * vertices + axis] = mesh.positions[3 * vertex + axis]!;
        newVertex[vertex] = vertices++;
      }
      triangles[3 * facets + c] = newVertex[vertex]!;
    }
    facetChamber[facets++] = chamber;
  }
  return {
    mesh: { positions: positions.slice(0, 3 * vertices), triangles: triangles.slice(0, 3 * facets) },
    facetChamber: facetChamber.slice(0, facets),
  };
}

function climberOf(mesh: Mesh, lattice: FieldLattice, slices: readonly HollowSlice[]): DepthClimber {
  const { origin, spacing } = lattice;
  const isInside = (x: number, y: number, z: number): boolean => {
    const plane = Math.round((z - origin[2]) / spacing);
    const slice = slices.find(({ grid }) => plane < planeOf(grid.lattice.z0) + grid.lattice.layers);
    if (slice === undefined) return false;
    const { grid } = slice;
    const j = Math.round((y - origin[1]) / spacing);
    const k = plane - planeOf(grid.lattice.z0);
    if (j < 0 || k < 0 || j >= grid.lattice.rows) return false;
    const row = k * grid.lattice.rows + j;
    let winding = 0;
    for (let c = grid.offsets[row]!; c < grid.offsets[row + 1]! && grid.x[c]! < x; c++)
      winding += grid.jump[c]!;
    return winding >= 1;
  };
  const planeOf = (z0: number): number => Math.round((z0 - origin[2]) / spacing + 0.5);
  return depthClimber({ mesh, lattice, samples: joinSamples(slices), isInside });
}

/** Hollows left solid that are looked into for lumps at most, the largest. */
const MOST_LUMPS = 16;
/** Smaller ones hide none worth a look, mm³. */
const LEAST_LUMP_MM3 = 1;

/** The thickest ball in each of the largest hollows left solid: of those that meet no cavity. */
function lumpsOf(
  left: readonly Chamber[],
  cavity: Mesh,
  climber: () => DepthClimber,
  wallMm: number,
): Lump[] {
  return left
    .filter(({ volumeMm3 }) => volumeMm3 >= LEAST_LUMP_MM3)
    .slice(0, MOST_LUMPS)
    .map(({ volumeMm3, centroid }) => {
      const { at, depthMm } = climber().near(centroid);
      return { thicknessMm: 2 * Math.min(depthMm, nearestCorner(cavity, at)), at, volumeMm3 };
    })
    .filter(({ thicknessMm, at }) => thicknessMm > 2 * wallMm && !isWithin(cavity, at))
    .sort((a, b) => b.thicknessMm - a.thicknessMm);
}

/** Whether a climb from one hollow has come out in another. */
function isWithin(cavity: Mesh, [x, y, z]: Vec3): boolean {
  const row = { y0: y - 0.5, dy: 1, rows: 1, z0: z - 0.5, dz: 1, layers: 1 };
  const { offsets, x: crossings, jump } = buildRayGrid(cavity, row, uninterrupted);
  let winding = 0;
  for (let c = offsets[0]!; c < offsets[1]! && crossings[c]! < x; c++) winding += jump[c]!;
  return winding >= 1;
}

function nearestCorner({ positions }: Mesh, [x, y, z]: Vec3): number {
  let least = Infinity;
  for (let i = 0; i < positions.length; i += 3) {
    const dx = positions[i]! - x;
    const dy = positions[i + 1]! - y;
    const dz = positions[i + 2]! - z;
    least = Math.min(least, dx * dx + dy * dy + dz * dz);
  }
  return Math.sqrt(least);
}

function joinSamples(slices: readonly HollowSlice[]): SurfaceSamples {
  if (slices.length === 1) return slices[0]!.samples;
  const all = slices.map(({ samples }) => samples);
  const points = new Float32Array(total(all.map((samples) => samples.points)));
  const facet = new Uint32Array(points.length / 3);
  const start = new Uint32Array(1 + total(all.map((samples) => samples.start)) - all.length);
  let filled = 0;
  let bricks = 0;
  for (const samples of all) {
    points.set(samples.points, 3 * filled);
    facet.set(samples.facet, filled);
    for (let brick = 1; brick < samples.start.length; brick++)
      start[++bricks] = filled + samples.start[brick]!;
    filled += samples.facet.length;
  }
  return { points, facet, start };
}

import { type Interrupter, portion } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import type { RayGrid } from '../rays/rayGrid.ts';
import { failure, type Result, success } from '../result.ts';
import type { Vec3 } from '../vector.ts';
import type { Cavity, Chamber } from './cavity.ts';
import { chambersOf } from './chambersOf.ts';
import { type Contour, contourField } from './contourField.ts';
import { deepestDepth } from './deepestPoint.ts';
import { type DepthField, type FieldSource, joinBricks, measureBricks } from './depthField.ts';
import { type DepthProbe, treeProbe, walkingProbe } from './depthProbe.ts';
import { readFieldCells } from './fieldCells.ts';
import { BRICK, type FieldLattice } from './fieldLattice.ts';
import { sampleSurface } from './surfaceSamples.ts';

export interface HollowOptions {
  readonly wallMm: number;
  /** Hollows smaller than this stay solid. */
  readonly leastChamberMm3: number;
  /** Lattice nodes kept at most, about 14 bytes each; the field is coarsened to fit. */
  readonly maxNodes: number;
  /** Asks a tree over all facets for every distance instead of walking from surface samples: slow, an oracle for tests. */
  readonly byTree?: boolean;
}

/** A chord of the finest arc a cavity can have (radius = wall) then stays within 0.05 mm of it. */
const CHORD_ERROR_MM = 0.05;
/** Coarser than this part of the wall the field no longer tells the wall from the far side. */
const COARSEST = 0.75;
const COARSENING = 1.26;

/**
 * Hollows a part: the cavity is everything deeper than the wall, by true distance to the nearest
 * surface (sculpted voids included, so that a wall stands round them too).
 *
 * `mesh` must be closed, outward and free of facets inside its own solid, in mm. Inside means
 * winding ≥ 1. Fails `option-invalid` for a wall that is no positive number and `grid-too-large`
 * when the part cannot be resolved within `maxNodes`.
 */
export function hollow(mesh: Mesh, options: HollowOptions, interrupter: Interrupter): Result<Cavity> {
  const { wallMm, maxNodes } = options;
  if (!(wallMm > 0 && Number.isFinite(wallMm))) {
    return failure('option-invalid', `A wall of ${wallMm} mm cannot be made; give a number above 0.`);
  }
  const bounds = boundsOf(mesh);
  if (bounds === null) return failure('stl-no-triangles', 'The mesh has no triangles to hollow.');
  const probe = options.byTree ? treeProbe(mesh) : walkingProbe(mesh);
  const finest = Math.min(wallMm / 3, Math.sqrt((8 * wallMm * CHORD_ERROR_MM) / 3));
  for (let spacing = finest; spacing <= COARSEST * wallMm; spacing *= COARSENING) {
    const lattice = latticeAround(bounds, spacing);
    if (BRICK ** 3 * lattice.bricks[0] * lattice.bricks[1] * lattice.bricks[2] > 64 * maxNodes) continue;
    const source: FieldSource = {
      lattice,
      level: wallMm,
      grid: castNodeRows(mesh, lattice, portion(interrupter, 0.05, 0.15)),
      samples: sampleSurface(mesh, lattice, wallMm, portion(interrupter, 0.15, 0.2)),
      probe,
      everywhere: options.byTree === true,
    };
    const total = lattice.bricks[0] * lattice.bricks[1] * lattice.bricks[2];
    const bricks = measureBricks(source, 0, total, maxNodes, portion(interrupter, 0.2, 0.5));
    if (bricks === null) continue;
    const field = joinBricks(source, [bricks]);
    const deepestMm = deepestDepth(source, portion(interrupter, 0.5, 0.52));
    return success(cavityOf(field, probe, deepestMm, options, portion(interrupter, 0.52, 1)));
  }
  return failure(
    'grid-too-large',
    `The part is too large for a wall of ${wallMm} mm: its cavity needs more than ${maxNodes} field nodes. Give a thicker wall, or cut the part.`,
  );
}

function boundsOf({ positions, triangles }: Mesh): { min: number[]; max: number[] } | null {
  if (triangles.length === 0) return null;
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    const value = positions[i]!;
    if (value < min[i % 3]!) min[i % 3] = value;
    if (value > max[i % 3]!) max[i % 3] = value;
  }
  return { min, max };
}

/** Bricks over the bounds, centred, with at least two nodes to spare on every side. */
function latticeAround({ min, max }: { min: number[]; max: number[] }, spacing: number): FieldLattice {
  const bricks = min.map((low, axis) => Math.ceil(((max[axis]! - low) / spacing + 4) / BRICK));
  const origin = min.map((low, axis) => (low + max[axis]! - spacing * (BRICK * bricks[axis]! - 1)) / 2);
  return { origin: origin as unknown as Vec3, spacing, bricks: bricks as unknown as Vec3 };
}

function castNodeRows(
  mesh: Mesh,
  { origin, spacing, bricks }: FieldLattice,
  interrupter: Interrupter,
): RayGrid {
  const rows = { y0: origin[1] - spacing / 2, dy: spacing, rows: BRICK * bricks[1] + 1 };
  const layers = { z0: origin[2] - spacing / 2, dz: spacing, layers: BRICK * bricks[2] + 1 };
  return buildRayGrid(mesh, { ...rows, ...layers }, interrupter);
}

function cavityOf(
  field: DepthField,
  probe: DepthProbe,
  deepestMm: number,
  { leastChamberMm3 }: HollowOptions,
  interrupter: Interrupter,
): Cavity {
  const cells = readFieldCells(field, portion(interrupter, 0, 0.1));
  const contour = contourField(field, cells, probe, portion(interrupter, 0.1, 0.85));
  const rootOfNode = chambersOf(field, cells, portion(interrupter, 0.85, 0.95));
  const { chamberOfFacet, chambers } = measureChambers(contour, rootOfNode, interrupter);
  const order = chambers
    .map((_, n) => n)
    .sort((a, b) => chambers[b]!.volumeMm3 - chambers[a]!.volumeMm3 || a - b);
  const kept = order.filter((n) => chambers[n]!.volumeMm3 >= leastChamberMm3);
  const left = order.filter((n) => chambers[n]!.volumeMm3 < leastChamberMm3);
  const number = new Int32Array(chambers.length).fill(-1);
  kept.forEach((n, position) => {
    number[n] = position;
  });
  return {
    ...keepChambers(contour.mesh, chamberOfFacet, number, interrupter),
    chambers: kept.map((n) => chambers[n]!),
    leftSolid: left.map((n) => chambers[n]!),
    deepestMm,
    thinnestWallMm: kept.length > 0 ? contour.leastDepth : null,
    spacingMm: field.lattice.spacing,
  };
}

/** Numbers the chambers by their first facet and sums their volumes and centroids (divergence theorem). */
function measureChambers(
  { mesh, deepNode }: Contour,
  rootOfNode: Int32Array,
  interrupter: Interrupter,
): { chamberOfFacet: Uint32Array; chambers: Chamber[] } {
  const { positions: p, triangles: t } = mesh;
  const numberOfRoot = new Map<number, number>();
  const chamberOfFacet = new Uint32Array(deepNode.length);
  const sums: number[] = [];
  for (let f = 0; f < deepNode.length; f++) {
    if ((f & 0xffff) === 0) interrupter(0.95);
    const root = rootOfNode[deepNode[f]!]!;
    let chamber = numberOfRoot.get(root);
    if (chamber === undefined) {
      chamber = numberOfRoot.size;
      numberOfRoot.set(root, chamber);
      sums.push(0, 0, 0, 0);
    }
    chamberOfFacet[f] = chamber;
    addTetrahedron(p, 3 * t[3 * f]!, 3 * t[3 * f + 1]!, 3 * t[3 * f + 2]!, sums, 4 * chamber);
  }
  const chambers = Array.from({ length: numberOfRoot.size }, (_, n): Chamber => {
    const [volume, x, y, z] = sums.slice(4 * n, 4 * n + 4) as [number, number, number, number];
    return { volumeMm3: volume, centroid: [x / volume, y / volume, z / volume] };
  });
  return { chamberOfFacet, chambers };
}

function addTetrahedron(p: Float32Array, a: number, b: number, c: number, sums: number[], at: number): void {
  const volume =
    (p[a]! * (p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!) +
      p[a + 1]! * (p[b + 2]! * p[c]! - p[b]! * p[c + 2]!) +
      p[a + 2]! * (p[b]! * p[c + 1]! - p[b + 1]! * p[c]!)) /
    6;
  sums[at]! += volume;
  for (let axis = 0; axis < 3; axis++)
    sums[at + 1 + axis]! += (volume * (p[a + axis]! + p[b + axis]! + p[c + axis]!)) / 4;
}

/** The facets of the chambers that got a number, with their vertices. */
function keepChambers(
  mesh: Mesh,
  chamberOfFacet: Uint32Array,
  number: Int32Array,
  interrupter: Interrupter,
): { mesh: Mesh; facetChamber: Uint32Array } {
  const triangles = new Uint32Array(mesh.triangles.length);
  const facetChamber = new Uint32Array(chamberOfFacet.length);
  const newVertex = new Int32Array(mesh.positions.length / 3).fill(-1);
  const positions = new Float32Array(mesh.positions.length);
  let vertices = 0;
  let facets = 0;
  for (let f = 0; f < chamberOfFacet.length; f++) {
    if ((f & 0xffff) === 0) interrupter(1);
    const chamber = number[chamberOfFacet[f]!]!;
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

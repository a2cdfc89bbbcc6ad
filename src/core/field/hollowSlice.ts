import { type Interrupter, portion } from '../interrupter.ts';
import { addTetrahedron } from '../mesh/addTetrahedron.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { RayGrid } from '../rays/rayGrid.ts';
import { cellPatches } from './cellPatches.ts';
import { chambersOf } from './chambersOf.ts';
import { type Contour, contourField, elementOf, type ThinSpot } from './contourField.ts';
import { buildDepthField, type DepthField, nodeIsDeep } from './depthField.ts';
import type { DepthProbe } from './depthProbe.ts';
import { type FieldCells, firstNode, nodesWithin, readFieldCells } from './fieldCells.ts';
import type { BrickMeasurer, FieldKernel, FieldSurface } from './fieldKernel.ts';
import { BRICK, BRICK_NODES, type FieldLattice } from './fieldLattice.ts';
import type { BrickKeeper } from './keepBrick.ts';
import { keepingProbe } from './keepingProbe.ts';
import type { KeptRegion } from './keptRegion.ts';
import type { SheetVertices } from './sheetVertices.ts';
import { sliceSurface } from './sliceSurface.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';
import { treeKernel, typescriptKernel } from './typescriptKernel.ts';

/** The hollow's part in the layers of bricks [layerFrom, layerTo) of a lattice. Plain data: it can cross threads. */
export interface SliceRequest {
  readonly mesh: Mesh;
  readonly lattice: FieldLattice;
  readonly wallMm: number;
  /** Stay solid whatever their depth. */
  readonly kept: readonly KeptRegion[];
  readonly layerFrom: number;
  readonly layerTo: number;
  readonly maxNodes: number;
  readonly byTree: boolean;
}

/** What one slice adds to the cavity's surface. */
export interface HollowSlice {
  /** Lattice nodes kept. */
  readonly nodes: number;
  /** The slice's own vertices. */
  readonly positions: Float32Array;
  /** Own vertices are numbered after those borrowed from the slice before. */
  readonly triangles: Uint32Array;
  /** Cell and sheet (`seamKey`) of each borrowed vertex, and of the own vertices that the next slice borrows. */
  readonly borrowedKeys: Float64Array;
  readonly lentKeys: Float64Array;
  readonly lentVertices: Uint32Array;
  /** Chamber number within the slice, by facet. */
  readonly facetChamber: Uint32Array;
  /** Volume, and volume × centroid (3), of each chamber's facets against the origin. */
  readonly sums: Float64Array;
  /** Chamber by node of the slice's first plane, and of the next slice's: −1 where shallow. */
  readonly firstPlane: Int32Array;
  readonly nextPlane: Int32Array;
  readonly thinnest: ThinSpot | null;
  /** What each kept region has kept from being hollow in the slice's own layers, mm³. */
  readonly keptMm3: Float64Array;
  /** Samples and rays of the slice's own layers. */
  readonly samples: SurfaceSamples;
  readonly grid: RayGrid;
}

/** Hollows one slice. Null when it would keep more than `maxNodes`. */
export function hollowSlice(
  request: SliceRequest,
  interrupter: Interrupter,
  kernel: FieldKernel = typescriptKernel,
): HollowSlice | null {
  const surface = sliceSurface(request, portion(interrupter, 0, 0.2));
  const measurer = request.byTree ? treeKernel(surface) : kernel(surface);
  try {
    return measureSlice(request, surface, measurer, portion(interrupter, 0.2, 1));
  } finally {
    measurer.close();
  }
}

function measureSlice(
  request: SliceRequest,
  surface: FieldSurface,
  measurer: BrickMeasurer,
  interrupter: Interrupter,
): HollowSlice | null {
  const keeper = keeperOf(request);
  const field = buildDepthField(surface, measurer, keeper, request, portion(interrupter, 0, 0.5));
  if (field === null) return null;
  const cells = readFieldCells(field, portion(interrupter, 0.5, 0.55));
  const contour = contourField(
    field,
    cells,
    probeOf(measurer, keeper, keeper.regions),
    probeOf(measurer, keeper, []),
    surface.samples,
    portion(interrupter, 0.55, 0.95),
  );
  const { vertices } = contour;
  const roots = numberedRoots(chambersOf(field, cells, portion(interrupter, 0.95, 1)));
  const firstPlane = chambersOfPlane(field, field.layerFrom, roots);
  const nextPlane = chambersOfPlane(field, field.layerTo, roots);
  const { facetChamber, sums } = measureFacets(contour, roots);
  const lent = seamVertices(field, cells, vertices, BRICK * field.layerTo - 1);
  return {
    nodes: field.depth.length,
    positions: vertices.positions.slice(3 * vertices.borrowed),
    triangles: contour.triangles.slice(),
    borrowedKeys: Float64Array.from(seamVertices(field, cells, vertices, BRICK * field.layerFrom - 1).keys),
    lentKeys: Float64Array.from(lent.keys),
    lentVertices: Uint32Array.from(lent.vertices),
    facetChamber,
    sums,
    firstPlane,
    nextPlane,
    thinnest: contour.thinnest,
    keptMm3: keeper.keptMm3,
    samples: ownSamples(surface.samples, surface.lattice, field),
    grid: surface.grid,
  };
}

function keeperOf({ mesh, lattice, wallMm, kept }: SliceRequest): BrickKeeper {
  const noFacet = mesh.triangles.length / 3;
  return { regions: kept, lattice, level: wallMm, noFacet, keptMm3: new Float64Array(kept.length) };
}

/** A probe that knows of these regions, and of the facet that stands for none. */
const probeOf = (
  { probe }: BrickMeasurer,
  { regions: kept, level, noFacet }: BrickKeeper,
  regions: readonly KeptRegion[],
): DepthProbe => (kept.length === 0 ? probe : keepingProbe(probe, regions, level, noFacet));

/** Names a vertex where slices meet by its cell's place in the plane and its sheet. */
const seamKey = ({ lattice }: DepthField, i: number, j: number, patch: number): number =>
  (i + BRICK * lattice.bricks[0] * j) * 8 + patch;

/** Keys and numbers of the vertices of one plane of cells. */
function seamVertices(
  field: DepthField,
  cells: FieldCells,
  { first }: SheetVertices,
  plane: number,
): { keys: number[]; vertices: number[] } {
  const keys: number[] = [];
  const vertices: number[] = [];
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    const [from, to] = nodesWithin(field, slot, plane, plane + 1);
    const [i0, j0] = firstNode(field, slot);
    for (let local = from; local < to; local++) {
      const cell = slot * BRICK_NODES + local;
      const sides = cells.configuration[cell]!;
      if (sides === 0 || sides === 255) continue;
      const patches = cellPatches(sides, cells.joined[cell]!)[12]!;
      for (let patch = 0; patch < patches; patch++) {
        keys.push(seamKey(field, i0 + (local & 7), j0 + ((local >> 3) & 7), patch));
        vertices.push(first[cell]! + patch);
      }
    }
  }
  return { keys, vertices };
}

/** Roots of chambers with numbers for those that are met, in the order of meeting. */
interface NumberedRoots {
  readonly rootOf: Int32Array;
  readonly numbers: Map<number, number>;
  /** Most elements have the root of the one before. */
  lastRoot: number;
  lastNumber: number;
}

const numberedRoots = (rootOf: Int32Array): NumberedRoots => ({
  rootOf,
  numbers: new Map(),
  lastRoot: -1,
  lastNumber: -1,
});

function numberOf(roots: NumberedRoots, element: number): number {
  const root = roots.rootOf[element]!;
  if (root === roots.lastRoot) return roots.lastNumber;
  const number = roots.numbers.get(root) ?? roots.numbers.size;
  roots.numbers.set(root, number);
  roots.lastRoot = root;
  roots.lastNumber = number;
  return number;
}

/** Chamber by node of the first plane of a layer of bricks; empty beyond the lattice. */
function chambersOfPlane(field: DepthField, layer: number, roots: NumberedRoots): Int32Array {
  const [nx, ny, nz] = field.lattice.bricks;
  if (layer >= nz) return new Int32Array(0);
  const chambers = new Int32Array(BRICK * nx * BRICK * ny).fill(-1);
  for (let j = 0; j < BRICK * ny; j++) {
    for (let i = 0; i < BRICK * nx; i++) {
      if (nodeIsDeep(field, i, j, BRICK * layer))
        chambers[i + BRICK * nx * j] = numberOf(roots, elementOf(field, i, j, BRICK * layer));
    }
  }
  return chambers;
}

/** Numbers the facets' chambers and sums their volumes and moments (divergence theorem). */
function measureFacets(
  { vertices, triangles: t, deepNode }: Contour,
  roots: NumberedRoots,
): { facetChamber: Uint32Array; sums: Float64Array } {
  const p = vertices.positions;
  const facetChamber = new Uint32Array(deepNode.length);
  const sums: number[] = [];
  for (let f = 0; f < deepNode.length; f++) {
    const chamber = numberOf(roots, deepNode[f]!);
    while (sums.length <= 4 * chamber) sums.push(0, 0, 0, 0);
    facetChamber[f] = chamber;
    addTetrahedron(p, 3 * t[3 * f]!, 3 * t[3 * f + 1]!, 3 * t[3 * f + 2]!, sums, 4 * chamber);
  }
  const all = new Float64Array(4 * roots.numbers.size);
  all.set(sums);
  return { facetChamber, sums: all };
}

/** The samples of the field's own layers; those of other layers are another slice's. */
function ownSamples(
  { points, facet, start }: SurfaceSamples,
  { bricks }: FieldLattice,
  { layerFrom, layerTo }: DepthField,
): SurfaceSamples {
  const perLayer = bricks[0] * bricks[1];
  const from = start[perLayer * layerFrom]!;
  const to = start[perLayer * layerTo]!;
  return {
    points: points.slice(3 * from, 3 * to),
    facet: facet.slice(from, to),
    start: start.slice(perLayer * layerFrom, perLayer * layerTo + 1).map((at) => at - from),
  };
}

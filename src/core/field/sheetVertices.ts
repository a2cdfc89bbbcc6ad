import type { Interrupter } from '../interrupter.ts';
import { cellPatches, edgeCorners } from './cellPatches.ts';
import { type ClosestPoint, closestPointScratch } from './closestPoint.ts';
import type { DepthField } from './depthField.ts';
import type { DepthProbe } from './depthProbe.ts';
import { featurePoint } from './featurePoint.ts';
import { type FieldCells, firstNode, nodeIndex, nodesWithin } from './fieldCells.ts';
import type { FieldCrossings } from './fieldCrossings.ts';
import { BRICK, BRICK_NODES } from './fieldLattice.ts';
import { type KnownWays, otherSheet } from './otherSheet.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/** Normals within 11° of their mean belong to one smooth sheet. */
const SMOOTH_COSINE = 0.98;
/** Normals within 0.8° and points within half a micrometre of their plane need no measuring. */
const FLAT_COSINE = 0.9999;
const FLAT_MM = 5e-4;
/** Tangent planes no further than this from a smooth sheet's middle leave it a quadric. */
const GENTLE_MM = 0.05;
/**
 * A facet between vertices on a curved level runs below it by (κ₁ + κ₂)·h²/12 on the mean, the sheet's
 * crossings by (κ₁ + κ₂)·h²/8: moving vertices out by this part of the latter keeps the volume true.
 */
const CHORD_SHARE = 2 / 3;
const MOST_CHORD_MM = 0.02;
/** How near a vertex is brought to the level, mm. */
const VERTEX_ERROR = 1e-3;
/** A sample tells the distance to its sheet too great by this at most, mm, about: they are 0.6 mm apart. */
const SAMPLE_EXCESS_MM = 0.12;
/** Sheets round a vertex that are looked at one by one, by samples. */
const MOST_SHEETS = 4;

/** One vertex for each sheet of surface in each cell. */
export interface SheetVertices {
  /** First vertex of a cell (by slot index); its sheets follow in order. */
  readonly first: Uint32Array;
  readonly positions: Float32Array;
  /** Mean unit gradient of the depth over the sheet: into the deep side. */
  readonly normals: Float32Array;
  /** Least cosine between the sheet's normals and their mean: 1 where flat. */
  readonly flatness: Float32Array;
  /** Closest facet (packed), as a hint. */
  readonly facet: Int32Array;
  /** Vertices of the plane of cells before the field's own: they come first, and are the neighbour's. */
  readonly borrowed: number;
  /** How far vertices were moved towards the shallow side at most, mm, and the first moved so far (−1: none). */
  mostChordMm: number;
  mostChordVertex: number;
}

/** Working memory for one cell. */
interface CellScratch {
  readonly planes: Float64Array;
  readonly mass: Float64Array;
  readonly point: Float64Array;
  readonly normal: Float64Array;
  count: number;
  flatness: number;
  /** Facets from which the vertex's closest one may be found: those of the sheet's crossings and of the cell's corners, each once. */
  readonly hints: Int32Array;
  hintCount: number;
  /** The vertex's closest facet. */
  hint: number;
  readonly known: KnownWays;
}

export function placeSheetVertices(
  field: DepthField,
  cells: FieldCells,
  crossings: FieldCrossings,
  probe: DepthProbe,
  samples: SurfaceSamples,
  interrupter: Interrupter,
): SheetVertices {
  const first = new Uint32Array(cells.configuration.length);
  const seam = BRICK * field.layerFrom;
  const borrowed = numberVertices(field, cells, seam - 1, seam, 0, first);
  const count = numberVertices(field, cells, seam, BRICK * field.layerTo, borrowed, first);
  const vertices = {
    first,
    positions: new Float32Array(3 * count),
    normals: new Float32Array(3 * count),
    flatness: new Float32Array(count),
    facet: new Int32Array(count),
    borrowed,
    mostChordMm: 0,
    mostChordVertex: -1,
  };
  const found = closestPointScratch();
  const scratch: CellScratch = {
    planes: new Float64Array(72),
    mass: new Float64Array(3),
    point: new Float64Array(3),
    normal: new Float64Array(3),
    count: 0,
    flatness: 1,
    hints: new Int32Array(20 + MOST_SHEETS),
    hintCount: 0,
    hint: -1,
    known: { ways: new Float64Array(3 * MOST_SHEETS), count: 0 },
  };
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    if ((slot & 15) === 0) interrupter(slot / field.brickOf.length);
    const [i0, j0, k0] = firstNode(field, slot);
    const [from, to] = nodesWithin(field, slot, seam - 1, BRICK * field.layerTo);
    for (let local = from; local < to; local++) {
      const cell = slot * BRICK_NODES + local;
      const sides = cells.configuration[cell]!;
      if (sides === 0 || sides === 255) continue;
      const i = i0 + (local & 7);
      const j = j0 + ((local >> 3) & 7);
      const k = k0 + (local >> 6);
      const patches = cellPatches(sides, cells.joined[cell]!);
      for (let patch = 0; patch < patches[12]!; patch++) {
        gatherPlanes(field, crossings, patches, patch, i, j, k, scratch);
        placeVertex(field, probe, samples, i, j, k, patches[12]! === 1, scratch, found);
        const vertex = first[cell]! + patch;
        const chord = flattenChord(scratch);
        if (chord > vertices.mostChordMm) {
          vertices.mostChordMm = chord;
          vertices.mostChordVertex = vertex;
        }
        for (let axis = 0; axis < 3; axis++) {
          vertices.positions[3 * vertex + axis] = scratch.point[axis]!;
          vertices.normals[3 * vertex + axis] = scratch.normal[axis]!;
        }
        vertices.flatness[vertex] = scratch.flatness;
        vertices.facet[vertex] = scratch.hint;
      }
    }
  }
  return vertices;
}

/** Numbers the vertices of the cells in planes [planeFrom, planeTo) from `count` on; returns the next number. */
function numberVertices(
  field: DepthField,
  { configuration, joined }: FieldCells,
  planeFrom: number,
  planeTo: number,
  count: number,
  first: Uint32Array,
): number {
  let next = count;
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    const [from, to] = nodesWithin(field, slot, planeFrom, planeTo);
    for (let cell = slot * BRICK_NODES + from; cell < slot * BRICK_NODES + to; cell++) {
      const sides = configuration[cell]!;
      if (sides === 0 || sides === 255) continue;
      first[cell] = next;
      next += cellPatches(sides, joined[cell]!)[12]!;
    }
  }
  return next;
}

/** Number of the crossing on the edge of node index `node` along `axis`. */
export function crossingOf({ first, mask }: FieldCrossings, node: number, axis: number): number {
  const before = mask[node]! & ((1 << axis) - 1);
  return first[node]! + (before & 1) + (before >> 1);
}

/** Collects the tangent planes of one sheet, their mean point, mean normal and spread. */
function gatherPlanes(
  field: DepthField,
  crossings: FieldCrossings,
  patches: Int8Array,
  patch: number,
  i: number,
  j: number,
  k: number,
  scratch: CellScratch,
): void {
  const { planes, mass, normal } = scratch;
  let count = 0;
  scratch.hintCount = 0;
  for (let axis = 0; axis < 3; axis++) {
    mass[axis] = 0;
    normal[axis] = 0;
  }
  for (let edge = 0; edge < 12; edge++) {
    if (patches[edge] !== patch) continue;
    const low = edgeCorners[edge]![0];
    const node = nodeIndex(field, i + (low & 1), j + ((low >> 1) & 1), k + (low >> 2));
    const crossing = crossingOf(crossings, node, edge >> 2);
    for (let c = 0; c < 3; c++) {
      planes[6 * count + c] = crossings.planes[6 * crossing + c]!;
      planes[6 * count + 3 + c] = crossings.planes[6 * crossing + 3 + c]!;
      mass[c]! += planes[6 * count + c]!;
      normal[c]! += planes[6 * count + 3 + c]!;
    }
    scratch.hint = crossings.facet[crossing]!;
    addHint(scratch, scratch.hint);
    count++;
  }
  const length = Math.sqrt(normal[0]! ** 2 + normal[1]! ** 2 + normal[2]! ** 2);
  let flatness = length > 0 ? 1 : 0;
  for (let c = 0; c < 3; c++) {
    mass[c]! /= count;
    normal[c]! /= length > 0 ? length : 1;
  }
  for (let p = 0; p < 6 * count; p += 6) {
    const cosine = normal[0]! * planes[p + 3]! + normal[1]! * planes[p + 4]! + normal[2]! * planes[p + 5]!;
    if (cosine < flatness) flatness = cosine;
  }
  scratch.count = count;
  scratch.flatness = flatness;
}

function addHint(scratch: CellScratch, facet: number): void {
  for (let n = 0; n < scratch.hintCount; n++) if (scratch.hints[n] === facet) return;
  scratch.hints[scratch.hintCount++] = facet;
}

/** A sheet that none of the crossings knows may yet be the closest one within the cell; its corners know it. */
function addCornerHints(field: DepthField, i: number, j: number, k: number, scratch: CellScratch): void {
  for (let corner = 0; corner < 8; corner++) {
    const node = nodeIndex(field, i + (corner & 1), j + ((corner >> 1) & 1), k + (corner >> 2));
    const facet = node < 0 ? -1 : field.facet[node]!;
    if (facet >= 0) addHint(scratch, facet);
  }
}

/** Places the vertex of the gathered sheet in its cell, on the level. */
function placeVertex(
  field: DepthField,
  probe: DepthProbe,
  samples: SurfaceSamples,
  i: number,
  j: number,
  k: number,
  alone: boolean,
  scratch: CellScratch,
  found: ClosestPoint,
): void {
  const { planes, mass, point, count, flatness } = scratch;
  if (flatness > SMOOTH_COSINE || !alone) for (let axis = 0; axis < 3; axis++) point[axis] = mass[axis]!;
  else {
    featurePoint(planes, count, mass, point);
    pullIntoCell(field, i, j, k, mass, point);
  }
  if (flatness > FLAT_COSINE && isOnPlanes(scratch)) return;
  if (flatness > SMOOTH_COSINE && settleByPlanes(scratch)) return;
  settleOnLevel(field, probe, samples, i, j, k, scratch, found);
}

/** Moves the vertex of a smooth curved sheet so that its facets keep the volume; returns how far it went out. */
function flattenChord({ planes, normal, point, count, flatness }: CellScratch): number {
  if (flatness <= SMOOTH_COSINE || flatness > FLAT_COSINE) return 0;
  let mean = 0;
  for (let p = 0; p < 6 * count; p += 6) {
    mean +=
      normal[0]! * (planes[p]! - point[0]!) +
      normal[1]! * (planes[p + 1]! - point[1]!) +
      normal[2]! * (planes[p + 2]! - point[2]!);
  }
  const chord = Math.max(-MOST_CHORD_MM, Math.min(MOST_CHORD_MM, (CHORD_SHARE * mean) / count));
  for (let axis = 0; axis < 3; axis++) point[axis]! -= chord * normal[axis]!;
  return chord;
}

/**
 * Brings the mean of a gently curved sheet's crossings to the level without measuring: the level runs
 * half as far from it as the crossings' tangent planes do on the mean, to second order. False where
 * the sheet is bent too much for that.
 */
function settleByPlanes({ planes, normal, point, count }: CellScratch): boolean {
  let sum = 0;
  for (let p = 0; p < 6 * count; p += 6) {
    const along =
      planes[p + 3]! * (planes[p]! - point[0]!) +
      planes[p + 4]! * (planes[p + 1]! - point[1]!) +
      planes[p + 5]! * (planes[p + 2]! - point[2]!);
    if (Math.abs(along) > GENTLE_MM) return false;
    sum += along;
  }
  const way = sum / (2 * count);
  for (let axis = 0; axis < 3; axis++) point[axis]! += way * normal[axis]!;
  return true;
}

function isOnPlanes({ planes, normal, point, count }: CellScratch): boolean {
  for (let p = 0; p < 6 * count; p += 6) {
    const off =
      normal[0]! * (planes[p]! - point[0]!) +
      normal[1]! * (planes[p + 1]! - point[1]!) +
      normal[2]! * (planes[p + 2]! - point[2]!);
    if (Math.abs(off) > FLAT_MM) return false;
  }
  return true;
}

/** Moves a point back towards the mean until it lies in its cell: vertices of different cells cannot pass each other. */
function pullIntoCell(
  { lattice }: DepthField,
  i: number,
  j: number,
  k: number,
  mass: Float64Array,
  point: Float64Array,
): void {
  let part = 1;
  for (let axis = 0; axis < 3; axis++) {
    const low = lattice.origin[axis]! + lattice.spacing * (axis === 0 ? i : axis === 1 ? j : k);
    const high = low + lattice.spacing;
    const way = point[axis]! - mass[axis]!;
    if (point[axis]! > high) part = Math.min(part, (high - mass[axis]!) / way);
    else if (point[axis]! < low) part = Math.min(part, (low - mass[axis]!) / way);
  }
  part = Math.max(part, 0);
  if (part < 1)
    for (let axis = 0; axis < 3; axis++) point[axis] = mass[axis]! + part * (point[axis]! - mass[axis]!);
}

/**
 * Brings the point to the level by exact depth. What comes nearest may be a sheet of which neither crossings
 * nor corners of the cell know, since it only just reaches in: samples tell of it.
 */
function settleOnLevel(
  field: DepthField,
  probe: DepthProbe,
  samples: SurfaceSamples,
  i: number,
  j: number,
  k: number,
  scratch: CellScratch,
  found: ClosestPoint,
): void {
  const { hints, point, known } = scratch;
  addCornerHints(field, i, j, k, scratch);
  approachLevel(field, probe, i, j, k, scratch, found);
  measure(probe, scratch, found);
  known.count = 0;
  for (let sheet = 1; sheet < MOST_SHEETS; sheet++) {
    addWay(known, point, found);
    const facet = otherSheet(samples, field.lattice, point, known, field.level + SAMPLE_EXCESS_MM);
    if (facet < 0) return;
    found.squared = Infinity;
    probe.nearer(facet, found);
    if (Math.sqrt(found.squared) > field.level - VERTEX_ERROR) continue;
    hints[scratch.hintCount++] = found.packed;
    approachLevel(field, probe, i, j, k, scratch, found);
    measure(probe, scratch, found);
    known.count = 0;
  }
}

function addWay(known: KnownWays, point: Float64Array, { x, y, z, squared }: ClosestPoint): void {
  const { ways, count } = known;
  const distance = Math.sqrt(squared) || 1;
  ways[3 * count] = (x - point[0]!) / distance;
  ways[3 * count + 1] = (y - point[1]!) / distance;
  ways[3 * count + 2] = (z - point[2]!) / distance;
  known.count++;
}

/** A few steps along the gradient of the depth, within the cell. */
function approachLevel(
  field: DepthField,
  probe: DepthProbe,
  i: number,
  j: number,
  k: number,
  scratch: CellScratch,
  found: ClosestPoint,
): void {
  const { point } = scratch;
  for (let step = 0; step < 4; step++) {
    measure(probe, scratch, found);
    scratch.hint = found.packed;
    const distance = Math.sqrt(found.squared);
    const missing = field.level - distance;
    if (Math.abs(missing) < VERTEX_ERROR || distance === 0) return;
    const scale = missing / distance;
    point[0]! += scale * (point[0]! - found.x);
    point[1]! += scale * (point[1]! - found.y);
    point[2]! += scale * (point[2]! - found.z);
    clampToCell(field, i, j, k, point);
  }
}

/** What all hints lead to. */
function measure(probe: DepthProbe, { point, hints, hintCount }: CellScratch, found: ClosestPoint): void {
  for (let axis = 0; axis < 3; axis++) probe.query[axis] = point[axis]!;
  found.squared = Infinity;
  for (let n = 0; n < hintCount; n++) probe.nearer(hints[n]!, found);
}

function clampToCell({ lattice }: DepthField, i: number, j: number, k: number, point: Float64Array): void {
  for (let axis = 0; axis < 3; axis++) {
    const low = lattice.origin[axis]! + lattice.spacing * (axis === 0 ? i : axis === 1 ? j : k);
    point[axis] = Math.min(low + lattice.spacing, Math.max(low, point[axis]!));
  }
}

import { type Interrupter, portion } from '../interrupter.ts';
import type { Vec3 } from '../vector.ts';
import { cellPatches } from './cellPatches.ts';
import { type ClosestPoint, closestPointScratch } from './closestPoint.ts';
import type { DepthField } from './depthField.ts';
import type { DepthProbe } from './depthProbe.ts';
import { type FieldCells, firstNode, nodeIndex, nodesWithin } from './fieldCells.ts';
import { findCrossings } from './fieldCrossings.ts';
import { BRICK, BRICK_NODES } from './fieldLattice.ts';
import { placeSheetVertices, type SheetVertices } from './sheetVertices.ts';
import type { SurfaceSamples } from './surfaceSamples.ts';

/** Quads whose diagonals pass each other nearer than this are flat, mm. */
const FLAT_QUAD = 0.01;
/** A quad whose sheets' normals lie within 11° of their means crosses no ridge of the depth. */
const SMOOTH_COSINE = 0.98;
/** Depths estimated within this of the least so far are measured, mm. */
const DOUBT_MM = 0.01;
/** Quads bent less than about 3° hide no thin spot worth measuring. */
const BENT_COSINE = 0.9985;

/** The part of the surface that the own nodes of a field make; the contours of all layers together are closed. */
export interface Contour {
  readonly vertices: SheetVertices;
  /** Oriented from the deep side to the shallow one. */
  readonly triangles: Uint32Array;
  /** Per facet the lattice node on its deep side: slot index, or slots' nodes + brick for a uniform brick. */
  readonly deepNode: Int32Array;
  /** Thinnest wall measured, at vertices and half way between; null where there is no surface. */
  readonly thinnest: ThinSpot | null;
}

/** A place on the cavity's surface, and how far the surface of the part is from there, mm. */
export interface ThinSpot {
  readonly wallMm: number;
  readonly at: Vec3;
}

/**
 * The surface where the depth equals the field's level, by dual contouring: a vertex per sheet per
 * cell, placed on the level and in the creases, and a quad per crossed lattice edge. Manifold by
 * construction (`readFieldCells`). Ju, Losasso, Schaefer & Warren 2002; Nielson 2004. `wallProbe` measures
 * to the part's own surface, where `probe` may know of regions kept solid too.
 */
export function contourField(
  field: DepthField,
  cells: FieldCells,
  probe: DepthProbe,
  wallProbe: DepthProbe,
  samples: SurfaceSamples,
  interrupter: Interrupter,
): Contour {
  const crossings = findCrossings(field, cells, probe, portion(interrupter, 0, 0.5));
  const vertices = placeSheetVertices(
    field,
    cells,
    crossings,
    probe,
    samples,
    portion(interrupter, 0.5, 0.85),
  );
  // Crossings next to the own nodes make no quads here.
  const triangles = new Uint32Array(6 * crossings.count);
  const deepNode = new Int32Array(2 * crossings.count);
  const quad = new Uint32Array(4);
  const found = closestPointScratch();
  let thinnest = firstThinSpot(field.level, vertices);
  let filled = 0;
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    if ((slot & 15) === 0) interrupter(0.85 + (0.15 * slot) / field.brickOf.length);
    const [i0, j0, k0] = firstNode(field, slot);
    const [from, to] = nodesWithin(field, slot, BRICK * field.layerFrom, BRICK * field.layerTo);
    for (let local = from; local < to; local++) {
      const node = slot * BRICK_NODES + local;
      const mask = crossings.mask[node]!;
      if (mask === 0) continue;
      const i = i0 + (local & 7);
      const j = j0 + ((local >> 3) & 7);
      const k = k0 + (local >> 6);
      const deepHere = (cells.configuration[node]! & 1) === 1;
      for (let axis = 0; axis < 3; axis++) {
        if (((mask >> axis) & 1) === 0) continue;
        readQuad(field, cells, vertices, i, j, k, axis, deepHere, quad);
        const least = thinnest?.wallMm ?? Infinity;
        const depth = splitQuad(probe, field.level, least, vertices, quad, triangles, 3 * filled, found);
        if (depth < least) {
          const from = triangles[3 * filled]!;
          const spot = spotBetween(wallProbe, vertices, from, triangles[3 * filled + 2]!, quad, found);
          if (spot.wallMm < least) thinnest = spot;
        }
        const deep = deepHere
          ? node
          : elementOf(field, axis === 0 ? i + 1 : i, axis === 1 ? j + 1 : j, axis === 2 ? k + 1 : k);
        deepNode[filled++] = deep;
        deepNode[filled++] = deep;
      }
    }
  }
  return {
    vertices,
    triangles: triangles.subarray(0, 3 * filled),
    deepNode: deepNode.subarray(0, filled),
    thinnest,
  };
}

/** What is known before anything is measured: vertices lie on the level less the chord they were moved by. */
function firstThinSpot(level: number, vertices: SheetVertices): ThinSpot | null {
  if (vertices.flatness.length === 0) return null;
  const { positions: p, mostChordMm, mostChordVertex } = vertices;
  const o = 3 * Math.max(0, mostChordVertex);
  return { wallMm: level - mostChordMm, at: [p[o]!, p[o + 1]!, p[o + 2]!] };
}

/** Slot index of a node, or the number that stands for its whole uniform brick. */
export function elementOf(field: DepthField, i: number, j: number, k: number): number {
  const node = nodeIndex(field, i, j, k);
  if (node >= 0) return node;
  const [nx, ny] = field.lattice.bricks;
  return field.depth.length + (i >> 3) + nx * ((j >> 3) + ny * (k >> 3));
}

/** The four sheet vertices round a crossed edge, counter-clockwise seen from its shallow end. */
function readQuad(
  field: DepthField,
  cells: FieldCells,
  vertices: SheetVertices,
  i: number,
  j: number,
  k: number,
  axis: number,
  deepHere: boolean,
  quad: Uint32Array,
): void {
  const b = (axis + 1) % 3;
  const c = (axis + 2) % 3;
  for (let n = 0; n < 4; n++) {
    // Round the edge: (b−1, c−1), (b, c−1), (b, c), (b−1, c).
    const backB = n === 0 || n === 3 ? 1 : 0;
    const backC = n < 2 ? 1 : 0;
    const cell = nodeIndex(
      field,
      i - (b === 0 ? backB : 0) - (c === 0 ? backC : 0),
      j - (b === 1 ? backB : 0) - (c === 1 ? backC : 0),
      k - (b === 2 ? backB : 0) - (c === 2 ? backC : 0),
    );
    const edge = 4 * axis + (b < c ? backB + 2 * backC : backC + 2 * backB);
    const patch = cellPatches(cells.configuration[cell]!, cells.joined[cell]!)[edge]!;
    quad[deepHere ? n : 3 - n] = vertices.first[cell]! + patch;
  }
}

/**
 * Writes a quad as two facets. A split that would fold a facet over is avoided; else bent quads are
 * split along the diagonal that lies nearer the level, so that creases stay edges; what was met before
 * makes no difference to which. Returns the depth half way along it, Infinity when not measured.
 */
function splitQuad(
  probe: DepthProbe,
  level: number,
  leastSoFar: number,
  vertices: SheetVertices,
  quad: Uint32Array,
  triangles: Uint32Array,
  at: number,
  found: ClosestPoint,
): number {
  const { positions, facet, flatness } = vertices;
  const a = quad[0]!;
  const b = quad[1]!;
  const c = quad[2]!;
  const d = quad[3]!;
  const openAC = Math.min(facing(vertices, a, b, c, quad), facing(vertices, a, c, d, quad));
  const openBD = Math.min(facing(vertices, b, c, d, quad), facing(vertices, b, d, a, quad));
  if (isFlat(vertices, a, b, c, d)) {
    if (openAC >= openBD) writeQuad(triangles, at, a, b, c, d);
    else writeQuad(triangles, at, b, c, d, a);
    return Infinity;
  }
  const folds = openAC <= 0 || openBD <= 0;
  const smooth = Math.min(flatness[a]!, flatness[b]!, flatness[c]!, flatness[d]!) > SMOOTH_COSINE;
  if (smooth && !folds) {
    const estimateAC = level - sagBetween(vertices, a, c);
    const estimateBD = level - sagBetween(vertices, b, d);
    const alongAC = splitError(estimateAC, level) <= splitError(estimateBD, level);
    if (alongAC) writeQuad(triangles, at, a, b, c, d);
    else writeQuad(triangles, at, b, c, d, a);
    if ((alongAC ? estimateAC : estimateBD) > leastSoFar + DOUBT_MM) return Infinity;
    return depthBetween(probe, positions, alongAC ? a : b, alongAC ? c : d, facet, quad, found);
  }
  const depthAC = depthBetween(probe, positions, a, c, facet, quad, found);
  const depthBD = depthBetween(probe, positions, b, d, facet, quad, found);
  const alongAC = folds ? openAC >= openBD : splitError(depthAC, level) <= splitError(depthBD, level);
  if (alongAC) writeQuad(triangles, at, a, b, c, d);
  else writeQuad(triangles, at, b, c, d, a);
  return alongAC ? depthAC : depthBD;
}

/** Twice a facet's area as seen along the quad's mean normal; negative when it is folded over. */
function facing(
  { positions: p, normals: n }: SheetVertices,
  a: number,
  b: number,
  c: number,
  quad: Uint32Array,
): number {
  const ux = p[3 * b]! - p[3 * a]!;
  const uy = p[3 * b + 1]! - p[3 * a + 1]!;
  const uz = p[3 * b + 2]! - p[3 * a + 2]!;
  const vx = p[3 * c]! - p[3 * a]!;
  const vy = p[3 * c + 1]! - p[3 * a + 1]!;
  const vz = p[3 * c + 2]! - p[3 * a + 2]!;
  let sum = 0;
  for (let corner = 0; corner < 4; corner++) {
    const o = 3 * quad[corner]!;
    sum -= n[o]! * (uy * vz - uz * vy) + n[o + 1]! * (uz * vx - ux * vz) + n[o + 2]! * (ux * vy - uy * vx);
  }
  return sum;
}

/** Too thin counts twice. */
const splitError = (depth: number, level: number): number =>
  depth < level ? 2 * (level - depth) : depth - level;

function writeQuad(triangles: Uint32Array, at: number, a: number, b: number, c: number, d: number): void {
  triangles[at] = a;
  triangles[at + 1] = b;
  triangles[at + 2] = c;
  triangles[at + 3] = a;
  triangles[at + 4] = c;
  triangles[at + 5] = d;
}

function isFlat(
  { positions: p, flatness }: SheetVertices,
  a: number,
  b: number,
  c: number,
  d: number,
): boolean {
  if (Math.min(flatness[a]!, flatness[b]!, flatness[c]!, flatness[d]!) < BENT_COSINE) return false;
  const ux = p[3 * c]! - p[3 * a]!;
  const uy = p[3 * c + 1]! - p[3 * a + 1]!;
  const uz = p[3 * c + 2]! - p[3 * a + 2]!;
  const vx = p[3 * d]! - p[3 * b]!;
  const vy = p[3 * d + 1]! - p[3 * b + 1]!;
  const vz = p[3 * d + 2]! - p[3 * b + 2]!;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  const between =
    nx * (p[3 * b]! - p[3 * a]!) +
    ny * (p[3 * b + 1]! - p[3 * a + 1]!) +
    nz * (p[3 * b + 2]! - p[3 * a + 2]!);
  return Math.abs(between) <= FLAT_QUAD * Math.sqrt(nx * nx + ny * ny + nz * nz);
}

/** How far the level bulges over the middle of a chord between two vertices, by its slopes at their ends (cubic). */
function sagBetween({ positions: p, normals: n }: SheetVertices, a: number, b: number): number {
  let sum = 0;
  for (let axis = 0; axis < 3; axis++)
    sum += (n[3 * b + axis]! - n[3 * a + axis]!) * (p[3 * b + axis]! - p[3 * a + axis]!);
  return sum / 8;
}

/** Wall half way between two vertices of a quad. */
function spotBetween(
  wallProbe: DepthProbe,
  { positions, facet }: SheetVertices,
  a: number,
  b: number,
  quad: Uint32Array,
  found: ClosestPoint,
): ThinSpot {
  const wallMm = depthBetween(wallProbe, positions, a, b, facet, quad, found);
  const [x, y, z] = wallProbe.query;
  return { wallMm, at: [x!, y!, z!] };
}

/** Depth half way between two vertices of a quad. */
function depthBetween(
  probe: DepthProbe,
  p: Float32Array,
  a: number,
  b: number,
  facet: Int32Array,
  quad: Uint32Array,
  found: ClosestPoint,
): number {
  for (let axis = 0; axis < 3; axis++) probe.query[axis] = (p[3 * a + axis]! + p[3 * b + axis]!) / 2;
  found.squared = Infinity;
  for (let n = 0; n < 4; n++) {
    const hint = facet[quad[n]!]!;
    if (n === 0 || hint !== facet[quad[n - 1]!]) probe.nearer(hint, found);
  }
  return Math.sqrt(found.squared);
}

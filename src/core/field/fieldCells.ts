import { type Interrupter, portion } from '../interrupter.ts';
import { ambiguousFaces, cellPatches, faceSegments } from './cellPatches.ts';
import { type DepthField, nodeIsDeep } from './depthField.ts';
import { BRICK, BRICK_NODES } from './fieldLattice.ts';

/** Sides of the eight corners, per cell of the field's slots; the cell is named by its lowest node. */
export interface FieldCells {
  readonly configuration: Uint8Array;
  /** Bit per face on which deep corners are joined across the diagonal (`cellPatches`). */
  readonly joined: Uint8Array;
}

/**
 * Reads the configuration of every cell and settles the ambiguous faces so that the surface is a
 * manifold: a face that would link the same two sheets twice is joined instead, which parts them.
 */
export function readFieldCells(field: DepthField, interrupter: Interrupter): FieldCells {
  const configuration = new Uint8Array(field.depth.length);
  const joined = new Uint8Array(field.depth.length);
  const deep = new Uint8Array((BRICK + 1) ** 3);
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    if ((slot & 127) === 0) interrupter((0.5 * slot) / field.brickOf.length);
    readSides(field, slot, deep);
    readConfigurations(deep, configuration, slot * BRICK_NODES);
  }
  const cells = { configuration, joined };
  joinDoubleLinks(field, cells, portion(interrupter, 0.5, 1));
  return cells;
}

/** Sides of a brick's nodes and of the next node in every direction: 9³ flags. */
function readSides(field: DepthField, slot: number, deep: Uint8Array): void {
  const { depth, level } = field;
  const [i0, j0, k0] = firstNode(field, slot);
  let at = slot * BRICK_NODES;
  for (let k = 0; k <= BRICK; k++) {
    for (let j = 0; j <= BRICK; j++) {
      const row = 9 * (j + 9 * k);
      if (j < BRICK && k < BRICK) {
        for (let i = 0; i < BRICK; i++) deep[row + i] = depth[at++]! > level ? 1 : 0;
        deep[row + BRICK] = sideAt(field, i0 + BRICK, j0 + j, k0 + k);
      } else for (let i = 0; i <= BRICK; i++) deep[row + i] = sideAt(field, i0 + i, j0 + j, k0 + k);
    }
  }
}

/** Beyond the lattice everything is outside the part. */
function sideAt(field: DepthField, i: number, j: number, k: number): number {
  const [nx, ny, nz] = field.lattice.bricks;
  if (i >= BRICK * nx || j >= BRICK * ny || k >= BRICK * nz) return 0;
  return nodeIsDeep(field, i, j, k) ? 1 : 0;
}

function readConfigurations(deep: Uint8Array, configuration: Uint8Array, start: number): void {
  let cell = start;
  for (let k = 0; k < BRICK; k++) {
    for (let j = 0; j < BRICK; j++) {
      for (let i = 0; i < BRICK; i++, cell++) {
        const n = i + 9 * (j + 9 * k);
        configuration[cell] =
          deep[n]! |
          (deep[n + 1]! << 1) |
          (deep[n + 9]! << 2) |
          (deep[n + 10]! << 3) |
          (deep[n + 81]! << 4) |
          (deep[n + 82]! << 5) |
          (deep[n + 90]! << 6) |
          (deep[n + 91]! << 7);
      }
    }
  }
}

/** First node of a slot's brick. */
export function firstNode(field: DepthField, slot: number): [number, number, number] {
  const [nx, ny] = field.lattice.bricks;
  const brick = field.brickOf[slot]!;
  return [BRICK * (brick % nx), BRICK * (Math.floor(brick / nx) % ny), BRICK * Math.floor(brick / (nx * ny))];
}

/** The nodes (or cells) of a slot that lie in planes [planeFrom, planeTo) of the lattice, as a range of local numbers. */
export function nodesWithin(
  field: DepthField,
  slot: number,
  planeFrom: number,
  planeTo: number,
): [from: number, to: number] {
  const plane = firstNode(field, slot)[2];
  const from = Math.min(BRICK, Math.max(0, planeFrom - plane));
  const to = Math.min(BRICK, Math.max(from, planeTo - plane));
  return [BRICK * BRICK * from, BRICK * BRICK * to];
}

/** Slot index of node (or cell) (i, j, k), −1 when its brick is uniform. */
export function nodeIndex(field: DepthField, i: number, j: number, k: number): number {
  const [nx, ny] = field.lattice.bricks;
  const slot = field.slotOf[(i >> 3) + nx * ((j >> 3) + ny * (k >> 3))]!;
  return slot < 0 ? -1 : slot * BRICK_NODES + (i & 7) + BRICK * ((j & 7) + BRICK * (k & 7));
}

/** Bits of the faces towards +x, +y, +z. */
const UPPER_FACES = 0b101010;

/**
 * Two sheets linked twice across one face would share an edge four times. Joining the deep corners
 * there cuts one of the two loops in two on either side; it never links anything twice anew.
 */
function joinDoubleLinks(
  field: DepthField,
  { configuration, joined }: FieldCells,
  interrupter: Interrupter,
): void {
  // By brick and not by slot: what one face is settled to depends on those before it.
  for (let brick = 0; brick < field.slotOf.length; brick++) {
    if ((brick & 0x3ff) === 0) interrupter(brick / field.slotOf.length);
    const slot = field.slotOf[brick]!;
    if (slot < 0) continue;
    const [i0, j0, k0] = firstNode(field, slot);
    for (let local = 0; local < BRICK_NODES; local++) {
      const cell = slot * BRICK_NODES + local;
      const ambiguous = ambiguousFaces[configuration[cell]!]!;
      if ((ambiguous & UPPER_FACES) === 0) continue;
      for (let axis = 0; axis < 3; axis++) {
        if (((ambiguous >> (2 * axis + 1)) & 1) === 0) continue;
        const i = i0 + (local & 7) + (axis === 0 ? 1 : 0);
        const j = j0 + ((local >> 3) & 7) + (axis === 1 ? 1 : 0);
        const k = k0 + (local >> 6) + (axis === 2 ? 1 : 0);
        const next = nodeIndex(field, i, j, k);
        // Beyond the layers measured.
        if (next < 0) continue;
        joinDoubleLink(configuration, joined, cell, next, axis);
      }
    }
  }
}

/** Joins the face between a cell and the next along an axis, if it links the same two sheets twice on both sides. */
function joinDoubleLink(
  configuration: Uint8Array,
  joined: Uint8Array,
  cell: number,
  next: number,
  axis: number,
): void {
  const face = 2 * axis + 1;
  if (!linksTwice(configuration[cell]!, joined[cell]!, face)) return;
  if (!linksTwice(configuration[next]!, joined[next]!, face - 1)) return;
  joined[cell]! |= 1 << face;
  joined[next]! |= 1 << (face - 1);
}

/** Whether both links across an ambiguous face belong to one sheet of the cell. */
function linksTwice(configuration: number, joined: number, face: number): boolean {
  const patches = cellPatches(configuration, joined);
  const segments = faceSegments(configuration, face, ((joined >> face) & 1) === 1);
  return patches[segments[0]![0]] === patches[segments[1]![0]];
}

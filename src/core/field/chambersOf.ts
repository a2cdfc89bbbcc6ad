import type { Interrupter } from '../interrupter.ts';
import { elementOf } from './contourField.ts';
import type { DepthField } from './depthField.ts';
import { type FieldCells, firstNode, nodesWithin } from './fieldCells.ts';
import { BRICK, BRICK_NODES } from './fieldLattice.ts';

/**
 * Which deep nodes hang together: union–find over the deep nodes of the field's own slots and over its
 * own uniform deep bricks, along lattice edges (into the next layer of bricks too) and across joined
 * faces, exactly as the contour does. Returns the root of every element (slot node, or number of slot
 * nodes + brick).
 */
export function chambersOf(field: DepthField, cells: FieldCells, interrupter: Interrupter): Int32Array {
  const nodes = field.depth.length;
  const parent = new Int32Array(nodes + field.slotOf.length);
  for (let element = 0; element < parent.length; element++) parent[element] = element;
  for (let slot = 0; slot < field.brickOf.length; slot++) {
    if ((slot & 127) === 0) interrupter(slot / field.brickOf.length);
    const [from, to] = nodesWithin(field, slot, BRICK * field.layerFrom, BRICK * field.layerTo);
    if (from < to) uniteSlot(field, cells, parent, slot);
  }
  uniteUniformBricks(field, parent);
  for (let element = 0; element < parent.length; element++) {
    if ((element & 0xfffff) === 0) interrupter(1);
    // No root lies after its elements, so those before are done.
    parent[element] = parent[parent[element]!]!;
  }
  return parent;
}

function rootOf(parent: Int32Array, element: number): number {
  let at = element;
  while (parent[at]! !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}

function unite(parent: Int32Array, a: number, b: number): void {
  const rootA = rootOf(parent, a);
  const rootB = rootOf(parent, b);
  if (rootA < rootB) parent[rootB] = rootA;
  else parent[rootA] = rootB;
}

/** Links every deep node of a slot with the deep corners of its cell; `+` neighbours may lie in other bricks. */
function uniteSlot(
  field: DepthField,
  { configuration, joined }: FieldCells,
  parent: Int32Array,
  slot: number,
): void {
  const [i0, j0, k0] = firstNode(field, slot);
  for (let local = 0; local < BRICK_NODES; local++) {
    const node = slot * BRICK_NODES + local;
    const sides = configuration[node]!;
    if (sides === 0) continue;
    const a = local & 7;
    const b = (local >> 3) & 7;
    const c = local >> 6;
    // Most of the next nodes lie in the same brick.
    if ((sides & 1) === 1) {
      if ((sides & 2) !== 0)
        unite(parent, node, a + 1 < BRICK ? node + 1 : elementOf(field, i0 + BRICK, j0 + b, k0 + c));
      if ((sides & 4) !== 0)
        unite(parent, node, b + 1 < BRICK ? node + BRICK : elementOf(field, i0 + a, j0 + BRICK, k0 + c));
      if ((sides & 16) !== 0)
        unite(parent, node, c + 1 < BRICK ? node + BRICK ** 2 : elementOf(field, i0 + a, j0 + b, k0 + BRICK));
    }
    if (joined[node] !== 0) uniteJoined(field, parent, sides, joined[node]!, i0 + a, j0 + b, k0 + c);
  }
}

/** Deep corners on a joined face are one chamber. */
function uniteJoined(
  field: DepthField,
  parent: Int32Array,
  sides: number,
  joined: number,
  i: number,
  j: number,
  k: number,
): void {
  for (let face = 0; face < 6; face++) {
    if (((joined >> face) & 1) === 0) continue;
    let first = -1;
    for (let corner = 0; corner < 8; corner++) {
      if (((corner >> (face >> 1)) & 1) !== (face & 1) || ((sides >> corner) & 1) === 0) continue;
      const element = elementOf(field, i + (corner & 1), j + ((corner >> 1) & 1), k + (corner >> 2));
      if (first < 0) first = element;
      else unite(parent, first, element);
    }
  }
}

/** Links uniform deep bricks with whatever deep lies beyond their far faces. */
function uniteUniformBricks(field: DepthField, parent: Int32Array): void {
  const [nx, ny, nz] = field.lattice.bricks;
  const nodes = field.depth.length;
  let brick = nx * ny * field.layerFrom;
  for (let bz = field.layerFrom; bz < field.layerTo; bz++) {
    for (let by = 0; by < ny; by++) {
      for (let bx = 0; bx < nx; bx++, brick++) {
        if (field.slotOf[brick]! >= 0 || field.deepBrick[brick] === 0) continue;
        // The next layer of nodes is deep too, hence every element of it belongs here.
        if (bx + 1 < nx) uniteFace(field, parent, nodes + brick, BRICK * (bx + 1), BRICK * by, BRICK * bz, 0);
        if (by + 1 < ny) uniteFace(field, parent, nodes + brick, BRICK * bx, BRICK * (by + 1), BRICK * bz, 1);
        if (bz + 1 < nz) uniteFace(field, parent, nodes + brick, BRICK * bx, BRICK * by, BRICK * (bz + 1), 2);
      }
    }
  }
}

function uniteFace(
  field: DepthField,
  parent: Int32Array,
  element: number,
  i: number,
  j: number,
  k: number,
  axis: number,
): void {
  for (let b = 0; b < BRICK; b++) {
    for (let a = 0; a < BRICK; a++) {
      const other =
        axis === 0
          ? elementOf(field, i, j + a, k + b)
          : axis === 1
            ? elementOf(field, i + a, j, k + b)
            : elementOf(field, i + a, j + b, k);
      unite(parent, element, other);
      if (other >= field.depth.length) return;
    }
  }
}

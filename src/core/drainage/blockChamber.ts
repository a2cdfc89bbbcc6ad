import type { ChamberCells } from '../chambers/chamberCells.ts';
import { type Interrupter, portion, uninterrupted } from '../interrupter.ts';
import { joinSets, numberSets, singletons } from '../unionFind.ts';
import type { ChamberBlocks } from './chamberBlocks.ts';

const cellsPerTick = 1 << 14;

/** Blocks of `cellsPerEdge` cells along each axis; 1 makes every cell of the chamber a node. Linear in the cells. */
export function blockChamber(
  cells: ChamberCells,
  chamber: number,
  cellsPerEdge: number,
  interrupter: Interrupter = uninterrupted,
): ChamberBlocks {
  const own = ownCells(cells, chamber);
  const { nodeOfCell, nodes } = labelNodes(own, cellsPerEdge, portion(interrupter, 0, 0.4));
  const sums = sumNodes(own, nodeOfCell, nodes, portion(interrupter, 0.4, 0.6));
  return {
    cellMm: cells.spacing,
    ...sums,
    ...joinNodes(own, nodeOfCell, nodes, portion(interrupter, 0.6, 1)),
  };
}

type OwnCells = Omit<ChamberCells, 'chamber'>;

function ownCells(
  { chamber: chambers, index, clearance, ...lattice }: ChamberCells,
  chamber: number,
): OwnCells {
  let count = 0;
  for (let cell = 0; cell < index.length; cell++) if (chambers[cell] === chamber) count++;
  if (count === index.length) return { ...lattice, index, clearance };
  const own = { index: new Uint32Array(count), clearance: new Float32Array(count) };
  for (let cell = 0, at = 0; cell < index.length; cell++) {
    if (chambers[cell] !== chamber) continue;
    own.index[at] = index[cell]!;
    own.clearance[at++] = clearance[cell]!;
  }
  return { ...lattice, ...own };
}

/** Calls `visit` for every two listed cells that share a face, by their places in the list. */
function forEachFace(
  { index, size }: OwnCells,
  interrupter: Interrupter,
  visit: (a: number, b: number) => void,
): void {
  const [width, height] = size;
  const strides = [1, width, width * height];
  const ahead = [0, 0, 0];
  for (let cell = 0; cell < index.length; cell++) {
    if (cell % cellsPerTick === 0) interrupter(cell / index.length);
    const at = index[cell]!;
    for (let axis = 0; axis < 3; axis++) {
      if (isLast(at, axis, width, height)) continue;
      const wanted = at + strides[axis]!;
      let next = ahead[axis]!;
      while (next < index.length && index[next]! < wanted) next++;
      ahead[axis] = next;
      if (index[next] === wanted) visit(cell, next);
    }
  }
}

/** Whether a step along x or y would run into the next row or layer. */
function isLast(at: number, axis: number, width: number, height: number): boolean {
  if (axis === 0) return at % width === width - 1;
  return axis === 1 && Math.floor(at / width) % height === height - 1;
}

function labelNodes(
  cells: OwnCells,
  cellsPerEdge: number,
  interrupter: Interrupter,
): { nodeOfCell: Uint32Array; nodes: number } {
  const { index, size } = cells;
  const [width, height] = size;
  const blockOf = (at: number): number => {
    const x = Math.floor((at % width) / cellsPerEdge);
    const y = Math.floor((Math.floor(at / width) % height) / cellsPerEdge);
    const z = Math.floor(Math.floor(at / (width * height)) / cellsPerEdge);
    return x + width * (y + height * z);
  };
  const sets = singletons(index.length);
  forEachFace(cells, interrupter, (a, b) => {
    if (blockOf(index[a]!) === blockOf(index[b]!)) joinSets(sets, a, b);
  });
  const { label, count } = numberSets(sets);
  return { nodeOfCell: label, nodes: count };
}

type NodeSums = Pick<ChamberBlocks, 'volumeMm3' | 'centroid' | 'halfSize' | 'deepest' | 'clearance'>;

function sumNodes(
  cells: OwnCells,
  nodeOfCell: Uint32Array,
  nodes: number,
  interrupter: Interrupter,
): NodeSums {
  const { index, size, origin, spacing } = cells;
  const [width, height] = size;
  const count = new Uint32Array(nodes);
  const sum = new Float64Array(3 * nodes);
  const low = new Float64Array(3 * nodes).fill(Infinity);
  const high = new Float64Array(3 * nodes).fill(-Infinity);
  const deepest = new Float32Array(3 * nodes);
  const clearance = new Float32Array(nodes).fill(-1);
  const middle = [0, 0, 0];
  for (let cell = 0; cell < index.length; cell++) {
    if (cell % cellsPerTick === 0) interrupter(cell / index.length);
    const at = index[cell]!;
    const node = nodeOfCell[cell]!;
    middle[0] = origin[0] + ((at % width) + 0.5) * spacing;
    middle[1] = origin[1] + ((Math.floor(at / width) % height) + 0.5) * spacing;
    middle[2] = origin[2] + (Math.floor(at / (width * height)) + 0.5) * spacing;
    const deeper = cells.clearance[cell]! > clearance[node]!;
    if (deeper) clearance[node] = cells.clearance[cell]!;
    for (let axis = 0; axis < 3; axis++) {
      const entry = 3 * node + axis;
      sum[entry]! += middle[axis]!;
      low[entry] = Math.min(low[entry]!, middle[axis]!);
      high[entry] = Math.max(high[entry]!, middle[axis]!);
      if (deeper) deepest[entry] = middle[axis]!;
    }
    count[node]!++;
  }
  const cellMm3 = spacing ** 3;
  return {
    volumeMm3: Float32Array.from(count, (cellsOfNode) => cellsOfNode * cellMm3),
    centroid: Float32Array.from(sum, (total, entry) => total / count[Math.floor(entry / 3)]!),
    halfSize: Float32Array.from(low, (least, entry) => (high[entry]! - least + spacing) / 2),
    deepest,
    clearance,
  };
}

type NodeNeighbours = Pick<ChamberBlocks, 'neighbourStart' | 'neighbour' | 'passRadius'>;

function joinNodes(
  cells: OwnCells,
  nodeOfCell: Uint32Array,
  nodes: number,
  interrupter: Interrupter,
): NodeNeighbours {
  const faces = facesByNode(cells, nodeOfCell, nodes, interrupter);
  const neighbourStart = new Uint32Array(nodes + 1);
  const seenAt = new Int32Array(nodes).fill(-1);
  let entries = 0;
  for (let node = 0; node < nodes; node++) {
    const first = entries;
    for (let face = faces.start[node]!; face < faces.start[node + 1]!; face++) {
      const other = faces.other[face]!;
      const seen = seenAt[other]!;
      if (seen >= first) {
        faces.radius[seen] = Math.max(faces.radius[seen]!, faces.radius[face]!);
        continue;
      }
      // What several faces share moves to the front; `entries` never overtakes `face`.
      seenAt[other] = entries;
      faces.other[entries] = other;
      faces.radius[entries++] = faces.radius[face]!;
    }
    neighbourStart[node + 1] = entries;
  }
  return {
    neighbourStart,
    neighbour: faces.other.slice(0, entries),
    passRadius: faces.radius.slice(0, entries),
  };
}

/** Faces between cells of two nodes, listed with both nodes. */
function facesByNode(
  cells: OwnCells,
  nodeOfCell: Uint32Array,
  nodes: number,
  interrupter: Interrupter,
): { start: Uint32Array; other: Uint32Array; radius: Float32Array } {
  const start = new Uint32Array(nodes + 1);
  const crossing = (visit: (a: number, b: number, radius: number) => void, from: number, to: number): void =>
    forEachFace(cells, portion(interrupter, from, to), (a, b) => {
      const [first, second] = [nodeOfCell[a]!, nodeOfCell[b]!];
      if (first === second) return;
      visit(first, second, Math.min(cells.clearance[a]!, cells.clearance[b]!));
    });
  crossing(
    (a, b) => {
      start[a]!++;
      start[b]!++;
    },
    0,
    0.5,
  );
  let total = 0;
  for (let node = 0; node <= nodes; node++) {
    total += start[node]!;
    start[node] = total;
  }
  const other = new Uint32Array(total);
  const radius = new Float32Array(total);
  const put = (at: number, to: number, width: number): void => {
    const entry = --start[at]!;
    other[entry] = to;
    radius[entry] = width;
  };
  crossing(
    (a, b, width) => {
      put(a, b, width);
      put(b, a, width);
    },
    0.5,
    1,
  );
  return { start, other, radius };
}

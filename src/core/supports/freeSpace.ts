/** Columns over the plate, `words` words of 32 steps each, rows of `nx` columns one after the other. Print frame. */
export interface FreeColumns {
  /** mm. */
  readonly cell: number;
  readonly nx: number;
  readonly ny: number;
  readonly steps: number;
  readonly words: number;
  readonly x0: number;
  readonly y0: number;
  readonly z0: number;
  readonly bits: Uint32Array;
}

/** What is in the way of struts round a part: columns of steps, a bit each. Print frame, mm. */
export interface FreeSpace {
  /** Edge of a column and height of a step, mm. */
  readonly cellMm: number;
  /** Whether a point lies in solid, or nearer to it than the clearance; beyond the grid nothing is in the way. */
  isBlocked(x: number, y: number, z: number): boolean;
  /** The greatest height below z at which the column over (x, y) is blocked; null where it is free to the plate. */
  blockedBelow(x: number, y: number, z: number): number | null;
  /** Whether nothing in the column over (x, y) is blocked below z. */
  isFreeBelow(x: number, y: number, z: number): boolean;
  /**
   * From (x, y, z) along (dx, dy), which is a unit long, sinking by as much: how far, mm, no column under the way is free
   * below it. 0 where one may be.
   */
  barrenFor(x: number, y: number, z: number, dx: number, dy: number): number;
  /** Whether the column over (x, y) is free from the plate up to z. */
  isFreeUpTo(x: number, y: number, z: number): boolean;
  /** Free of the solid along a straight way. */
  isFree(from: readonly [number, number, number], to: readonly [number, number, number]): boolean;
  /** The same, by coordinates: asked for millions of times. */
  isFreeAlong(x: number, y: number, z: number, toX: number, toY: number, toZ: number): boolean;
}

/** Reads columns. */
export function freeSpace({ cell, nx, ny, steps, words, x0, y0, z0, bits }: FreeColumns): FreeSpace {
  const columnAt = (x: number, y: number): number => {
    const i = Math.floor((x - x0) / cell);
    const j = Math.floor((y - y0) / cell);
    return i < 0 || j < 0 || i >= nx || j >= ny ? -1 : (j * nx + i) * words;
  };
  const isSet = (column: number, step: number): boolean =>
    ((bits[column + (step >> 5)]! >>> (step & 31)) & 1) === 1;
  const isBlocked = (x: number, y: number, z: number): boolean => {
    const column = columnAt(x, y);
    const step = Math.floor((z - z0) / cell);
    return column >= 0 && step >= 0 && step < steps && isSet(column, step);
  };
  const lowest = lowestBlocked(bits, words);
  const blocks = highestOfBlocks(lowest, nx, ny);
  const blocksX = Math.ceil(nx / BLOCK);
  const isFreeAlong = (x: number, y: number, z: number, toX: number, toY: number, toZ: number): boolean => {
    const [dx, dy, dz] = [toX - x, toY - y, toZ - z];
    const count = Math.max(1, Math.ceil(Math.sqrt(dx * dx + dy * dy + dz * dz) / (cell / 2)));
    for (let n = 0; n <= count; n++) {
      const t = n / count;
      if (isBlocked(x + t * dx, y + t * dy, z + t * dz)) return false;
    }
    return true;
  };
  return {
    cellMm: cell,
    isBlocked,
    isFreeBelow(x, y, z) {
      const column = columnAt(x, y);
      return column < 0 || lowest[column / words]! >= Math.min(steps, Math.floor((z - z0) / cell));
    },
    blockedBelow(x, y, z) {
      const column = columnAt(x, y);
      if (column < 0) return null;
      for (let step = Math.min(steps, Math.floor((z - z0) / cell)) - 1; step >= 0; step--) {
        if (bits[column + (step >> 5)] === 0) step = (step >> 5) << 5;
        else if (isSet(column, step)) return z0 + (step + 1) * cell;
      }
      return null;
    },
    barrenFor(x, y, z, dx, dy) {
      const block = BLOCK * cell;
      const [i, j] = [Math.floor((x - x0) / block), Math.floor((y - y0) / block)];
      if (i < 0 || j < 0 || i * BLOCK >= nx || j * BLOCK >= ny) return 0;
      const leavesX = dx === 0 ? Number.POSITIVE_INFINITY : (x0 + (dx > 0 ? i + 1 : i) * block - x) / dx;
      const leavesY = dy === 0 ? Number.POSITIVE_INFINITY : (y0 + (dy > 0 ? j + 1 : j) * block - y) / dy;
      const leaves = Math.min(leavesX, leavesY);
      return z0 + (blocks[j * blocksX + i]! + 1) * cell <= z - leaves ? leaves : 0;
    },
    isFreeUpTo(x, y, z) {
      const column = columnAt(x, y);
      const last = Math.min(steps - 1, Math.floor((z - z0) / cell));
      for (let step = 0; column >= 0 && step <= last; step++) if (isSet(column, step)) return false;
      return true;
    },
    isFree: (from, to) => isFreeAlong(...from, ...to),
    isFreeAlong,
  };
}

/** Columns along the edge of a block. */
const BLOCK = 8;

/** By block of columns: the highest that the lowest blocked step of any is. */
function highestOfBlocks(lowest: Uint32Array, nx: number, ny: number): Uint32Array {
  const blocksX = Math.ceil(nx / BLOCK);
  const highest = new Uint32Array(blocksX * Math.ceil(ny / BLOCK));
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      const block = Math.floor(j / BLOCK) * blocksX + Math.floor(i / BLOCK);
      highest[block] = Math.max(highest[block]!, lowest[j * nx + i]!);
    }
  }
  return highest;
}

/** By column: the lowest step of it that is blocked; beyond all steps where none is. */
function lowestBlocked(bits: Uint32Array, words: number): Uint32Array {
  const lowest = new Uint32Array(bits.length / words).fill(32 * words);
  for (let column = 0; column < lowest.length; column++) {
    for (let word = 0; word < words; word++) {
      const own = bits[column * words + word]!;
      if (own === 0) continue;
      lowest[column] = 32 * word + 31 - Math.clz32(own & -own);
      break;
    }
  }
  return lowest;
}

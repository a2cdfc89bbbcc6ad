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
  /** Whether the column over (x, y) is free from the plate up to z. */
  isFreeUpTo(x: number, y: number, z: number): boolean;
  /** Free of the solid along a straight way. */
  isFree(from: readonly [number, number, number], to: readonly [number, number, number]): boolean;
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
  return {
    cellMm: cell,
    isBlocked,
    blockedBelow(x, y, z) {
      const column = columnAt(x, y);
      if (column < 0) return null;
      for (let step = Math.min(steps, Math.floor((z - z0) / cell)) - 1; step >= 0; step--) {
        if (bits[column + (step >> 5)] === 0) step = (step >> 5) << 5;
        else if (isSet(column, step)) return z0 + (step + 1) * cell;
      }
      return null;
    },
    isFreeUpTo(x, y, z) {
      const column = columnAt(x, y);
      const last = Math.min(steps - 1, Math.floor((z - z0) / cell));
      for (let step = 0; column >= 0 && step <= last; step++) if (isSet(column, step)) return false;
      return true;
    },
    isFree([x, y, z], to) {
      const [dx, dy, dz] = [to[0] - x, to[1] - y, to[2] - z];
      const count = Math.max(1, Math.ceil(Math.hypot(dx, dy, dz) / (cell / 2)));
      for (let n = 0; n <= count; n++) {
        const t = n / count;
        if (isBlocked(x + t * dx, y + t * dy, z + t * dz)) return false;
      }
      return true;
    },
  };
}

/**
 * A part's shadow on the plate, supports and raft included where they are planned: print frame, mm, in
 * cells of about a tenth. A cell is in it when the shadow touches it, so that what is between cells that
 * are not is free for certain; the edges of the part's bounding box are edges of cells.
 */
export interface Footprint {
  readonly minX: number;
  readonly minY: number;
  readonly cellX: number;
  readonly cellY: number;
  readonly columns: number;
  readonly rows: number;
  /** The runs of row r are those from `start[r]` to `start[r + 1]`, each two entries of `ends`: its first column and the one behind its last. */
  readonly start: Uint32Array;
  readonly ends: Uint32Array;
}

/** mm², up to a cell along its border too much. */
export function footprintArea({ ends, cellX, cellY }: Footprint): number {
  let cells = 0;
  for (let at = 0; at < ends.length; at += 2) cells += ends[at + 1]! - ends[at]!;
  return cells * cellX * cellY;
}

/** Whether the cell at a point of the part's own frame is in it. */
export function isUnder(footprint: Footprint, x: number, y: number): boolean {
  const { minX, minY, cellX, cellY, rows, start, ends } = footprint;
  const row = Math.floor((y - minY) / cellY);
  if (!(row >= 0 && row < rows)) return false;
  const column = Math.floor((x - minX) / cellX);
  for (let run = start[row]!; run < start[row + 1]!; run++) {
    if (column < ends[2 * run]!) return false;
    if (column < ends[2 * run + 1]!) return true;
  }
  return false;
}

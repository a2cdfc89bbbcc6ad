/**
 * One chamber as few nodes: blocks of neighbouring cells, for floods and ways that must be quick. A node
 * is one connected piece of the chamber within one block, so that nothing joins through a wall. Frame: that of `ChamberCells` (source axes at finished size), mm.
 */
export interface ChamberBlocks {
  /** Edge of a cell. */
  readonly cellMm: number;
  readonly volumeMm3: Float32Array;
  /** Mean of the node's cells, three numbers each. */
  readonly centroid: Float32Array;
  /** Half the size of the box round the node's cells, three numbers each. */
  readonly halfSize: Float32Array;
  /** Middle of the node's deepest cell, three numbers each, and how far it lies from the chamber's wall. */
  readonly deepest: Float32Array;
  readonly clearance: Float32Array;
  /** Neighbours of node n: entries `neighbourStart[n]` to `neighbourStart[n + 1]`. */
  readonly neighbourStart: Uint32Array;
  readonly neighbour: Uint32Array;
  /** By entry: radius of the widest ball that passes between the two, by the clearance of their cells. */
  readonly passRadius: Float32Array;
}

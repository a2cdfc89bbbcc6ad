/**
 * The sample rows of a ray grid. Rays run along +x. Row j of layer k lies at
 * y = y0 + (j + ½)·dy, z = z0 + (k + ½)·dz, all in mm of one frame. For print analysis z0 = 0 and
 * dz is the layer height, so k is the printer's own layer number.
 */
export interface Lattice {
  readonly y0: number;
  readonly dy: number;
  readonly rows: number;
  readonly z0: number;
  readonly dz: number;
  readonly layers: number;
}

export const rowY = (lattice: Lattice, row: number): number => lattice.y0 + (row + 0.5) * lattice.dy;
export const layerZ = (lattice: Lattice, layer: number): number => lattice.z0 + (layer + 0.5) * lattice.dz;
/** Index of a row of a layer into an `offsets` array; rows of one layer are neighbours. */
export const rowIndex = (lattice: Lattice, layer: number, row: number): number => layer * lattice.rows + row;

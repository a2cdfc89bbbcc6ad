import type { Interrupter } from '../interrupter.ts';
import type { Island } from '../layers/layerFigures.ts';
import type { LayerOptions } from '../layers/layerOptions.ts';
import { measureLayers } from '../layers/measureLayers.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import { latticeFor } from '../rays/latticeFor.ts';
import { solidRuns } from '../rays/solidRuns.ts';

/** How a piece prints that stands on the plate. */
export interface PieceFigures {
  readonly layers: number;
  /** mm² of its first layer, and of its largest. */
  readonly standsMm2: number;
  readonly peakMm2: number;
  /** What starts on nothing above the first layer. */
  readonly islands: readonly Island[];
  /** The plate holds its first layer against the peel of its largest. */
  readonly stands: boolean;
}

export interface PieceSetting extends LayerOptions {
  readonly layerMm: number;
  /** Islands under this are left out, mm². */
  readonly leastMm2: number;
  /** kPa that the film pulls with, and that the plate holds. */
  readonly peelKpa: number;
  readonly plateHoldKpa: number;
}

/** Rows of the ray grid, mm. */
const rowMm = 0.1;

/** Print frame, the piece's lowest point at z = 0. */
export function pieceFigures(piece: Mesh, setting: PieceSetting, interrupter: Interrupter): PieceFigures {
  const { layerMm, leastMm2, peelKpa, plateHoldKpa } = setting;
  const lattice = latticeFor(boundsOf(piece.positions), rowMm, layerMm);
  const grid = buildRayGrid(piece, lattice, interrupter, { facets: false });
  const { area, islands } = measureLayers(solidRuns(grid), null, setting, interrupter);
  const standsMm2 = area[0] ?? 0;
  const peakMm2 = area.reduce((most, one) => Math.max(most, one), 0);
  return {
    layers: lattice.layers,
    standsMm2,
    peakMm2,
    islands: islands.filter(({ areaMm2 }) => areaMm2 >= leastMm2),
    stands: standsMm2 * plateHoldKpa >= peakMm2 * peelKpa,
  };
}

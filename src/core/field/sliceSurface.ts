import { type Interrupter, portion } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { buildRayGrid } from '../rays/buildRayGrid.ts';
import type { RayGrid } from '../rays/rayGrid.ts';
import type { FieldSurface } from './fieldKernel.ts';
import { BRICK, type FieldLattice } from './fieldLattice.ts';
import type { SliceRequest } from './hollowSlice.ts';
import { sampleSurface } from './surfaceSamples.ts';

/** Beyond the nodes of a slice the surface matters no further than this many walls and spacings. */
const MARGIN_WALLS = 2;
const MARGIN_SPACINGS = 4;

/** How much too great a distance to samples may be, as a part of the level, without any node being taken for one far from it. */
const SAMPLE_ERROR = 0.04;

/** Rays and samples of all that the depths in a slice, and in the layer of bricks before and after it, depend on. */
export function sliceSurface(request: SliceRequest, interrupter: Interrupter): FieldSurface {
  const { mesh, lattice, wallMm, layerFrom, layerTo } = request;
  const [, , nz] = lattice.bricks;
  const side = BRICK * lattice.spacing;
  const gridFrom = Math.max(0, layerFrom - 1);
  const gridTo = Math.min(nz, layerTo + 1);
  const margin = MARGIN_WALLS * wallMm + MARGIN_SPACINGS * lattice.spacing;
  const more = Math.ceil(margin / side);
  const bandMm = lattice.spacing + SAMPLE_ERROR * wallMm;
  return {
    mesh,
    lattice,
    level: wallMm,
    low: lattice.origin[2] + gridFrom * side - margin,
    high: lattice.origin[2] + gridTo * side + margin,
    grid: castNodeRows(mesh, lattice, gridFrom, gridTo, portion(interrupter, 0.1, 0.5)),
    gridFrom,
    samples: sampleSurface(
      mesh,
      lattice,
      wallMm,
      [Math.max(0, gridFrom - more), Math.min(nz, gridTo + more)],
      portion(interrupter, 0.5, 1),
    ),
    bandMm,
    reachMm: wallMm + bandMm,
    settledMm: wallMm - bandMm,
  };
}

/** Rays through the rows of nodes of layers of bricks [from, to), and one plane of nodes more. */
function castNodeRows(
  mesh: Mesh,
  { origin, spacing, bricks }: FieldLattice,
  from: number,
  to: number,
  interrupter: Interrupter,
): RayGrid {
  const rows = { y0: origin[1] - spacing / 2, dy: spacing, rows: BRICK * bricks[1] + 1 };
  const z0 = origin[2] + (BRICK * from - 0.5) * spacing;
  return buildRayGrid(mesh, { ...rows, z0, dz: spacing, layers: BRICK * (to - from) + 1 }, interrupter);
}

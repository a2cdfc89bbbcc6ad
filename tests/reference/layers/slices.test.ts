import Module from 'manifold-3d';
import { beforeAll, describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { measureLayers } from '../../../src/core/layers/measureLayers.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { buildRayGrid } from '../../../src/core/rays/buildRayGrid.ts';
import { layerZ } from '../../../src/core/rays/lattice.ts';
import { layerAreas } from '../../../src/core/rays/layerAreas.ts';
import { runsVolume } from '../../../src/core/rays/runsVolume.ts';
import { solidRuns } from '../../../src/core/rays/solidRuns.ts';
import { windingProfile } from '../../../src/core/rays/windingProfile.ts';
import { icosphere, loadSharedMesh, torus, volumeOf } from '../../shapes.ts';
import { gridOf, posed, solidOf } from '../../unit/layers/printing.ts';

type Manifold = InstanceType<Awaited<ReturnType<typeof Module>>['Manifold']>;
let wasm: Awaited<ReturnType<typeof Module>>;

beforeAll(async () => {
  wasm = await Module();
  wasm.setup();
});

function manifoldOf(mesh: Mesh): Manifold {
  const plain = new wasm.Mesh({ numProp: 3, vertProperties: mesh.positions, triVerts: mesh.triangles });
  return new wasm.Manifold(plain);
}

/** Cross-section areas of manifold-3d at the planes of some layers against ours; returns the worst relative difference. */
function worstAgainstManifold(mesh: Mesh, dy: number, leastArea: number): number {
  const reference = manifoldOf(mesh);
  const solid = solidOf(mesh, dy, 0.05);
  const areas = layerAreas(solid);
  let worst = 0;
  for (let layer = 3; layer < areas.length; layer += Math.ceil(areas.length / 40)) {
    const slice = reference.slice(layerZ(solid.lattice, layer));
    const exact = slice.area();
    slice.delete();
    if (exact >= leastArea) worst = Math.max(worst, Math.abs(areas[layer]! / exact - 1));
  }
  reference.delete();
  return worst;
}

describe('layer areas against manifold-3d slices', () => {
  test('sphere and torus in several turns, 0.1 mm rows', () => {
    for (const turn of [
      [0, 0, 0],
      [33, 12, 71],
    ] as const) {
      expect(worstAgainstManifold(posed(icosphere(15, 4), turn, 0), 0.1, 60)).toBeLessThan(0.002);
      expect(worstAgainstManifold(posed(torus(14, 5, 96, 48), turn, 0), 0.1, 60)).toBeLessThan(0.002);
    }
  });

  test('a standing figure and a cow, 0.1 mm rows', ({ skip }) => {
    for (const name of ['human_cc0', 'spot']) {
      const mesh = loadSharedMesh(name);
      if (mesh === null) return skip();
      expect(worstAgainstManifold(posed(mesh, [0, 0, 0], 0), 0.1, 100), name).toBeLessThan(0.001);
    }
  });
});

/** mm² at z above the lowest point; two native libraries agree on these to 1e-5. */
const HUMAN_AREAS: readonly (readonly [number, number])[] = [
  [23.775, 124.16963],
  [47.525, 241.66374],
  [71.275, 428.71011],
  [95.025, 845.48295],
  [118.775, 579.09458],
  [142.525, 788.80719],
  [166.275, 131.9539],
];

describe('the standing figure of the open test data', () => {
  test('areas at seven planes and the volume', ({ skip }) => {
    const human = loadSharedMesh('human_cc0');
    if (human === null) return skip();
    const mesh = posed(human, [0, 0, 0], 0);
    const grid = gridOf(mesh, 0.1, 0.05);
    expect(windingProfile(grid).unbalancedRows).toBe(0);
    const solid = solidRuns(grid);
    const areas = layerAreas(solid);
    expect(areas.length).toBe(3800);
    for (const [z, area] of HUMAN_AREAS) {
      const layer = Math.round(z / 0.05 - 0.5);
      expect(layerZ(solid.lattice, layer)).toBeCloseTo(z, 9);
      expect(Math.abs(areas[layer]! / area - 1), `z ${z}, rows 0.1`).toBeLessThan(0.001);
      // Rows so fine that only the planes and the interpolation along edges are left to be wrong.
      const plane = { ...solid.lattice, dy: 0.001, rows: solid.lattice.rows * 100, z0: z - 0.025, layers: 1 };
      const [exact] = layerAreas(solidRuns(buildRayGrid(mesh, plane, uninterrupted)));
      expect(Math.abs(exact! / area - 1), `z ${z}, rows 0.001`).toBeLessThan(1e-5);
    }
    expect(Math.abs(runsVolume(solid) / 81443.721 - 1)).toBeLessThan(1e-5);
    expect(Math.abs(runsVolume(solid) / volumeOf(mesh) - 1)).toBeLessThan(1e-5);
  });

  test('its islands: 51 on a 0.1 mm pixel grid, fewer where x is exact and specks are left out', ({
    skip,
  }) => {
    const human = loadSharedMesh('human_cc0');
    if (human === null) return skip();
    const solid = solidOf(posed(human, [0, 0, 0], 0));
    const options = { selfSupportDeg: 45, ceilingMm2: 50, ceilingSpanMm: 5 };
    const figures = measureLayers(solid, null, options, uninterrupted);
    expect(pixelIslands(solid, 0.1)).toBe(51);
    // Exact x joins what pixels part: 42 starts; the rule of 3 rows leaves some of them out.
    expect(figures.islands.length + figures.specksLeftOut).toBe(42);
    expect(figures.islands.length).toBe(36);
  }, 180_000);
});

/** The plain pixel count: cells whose centre is solid, 4-neighbour pieces with no solid cell below, plate layer left out. */
function pixelIslands(solid: ReturnType<typeof solidOf>, cell: number): number {
  const { rows, layers } = solid.lattice;
  const xs = solid.ends;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const x of xs) {
    low = Math.min(low, x);
    high = Math.max(high, x);
  }
  const x0 = low - cell;
  const width = Math.ceil((high - low) / cell) + 2;
  let below = new Uint8Array(width * rows);
  let islands = 0;
  for (let layer = 0; layer < layers; layer++) {
    const cells = new Uint8Array(width * rows);
    for (let row = 0; row < rows; row++) {
      for (
        let run = solid.offsets[layer * rows + row]!;
        run < solid.offsets[layer * rows + row + 1]!;
        run++
      ) {
        const from = Math.ceil((xs[2 * run]! - x0) / cell - 0.5);
        const to = Math.ceil((xs[2 * run + 1]! - x0) / cell - 0.5);
        cells.fill(1, row * width + from, row * width + to);
      }
    }
    if (layer > 0) islands += startsOver(cells, below, width);
    below = cells;
  }
  return islands;
}

function startsOver(cells: Uint8Array, below: Uint8Array, width: number): number {
  const seen = new Uint8Array(cells.length);
  const stack: number[] = [];
  let starts = 0;
  for (let start = 0; start < cells.length; start++) {
    if (cells[start] === 0 || seen[start] === 1) continue;
    let carried = false;
    stack.push(start);
    seen[start] = 1;
    for (let cell = stack.pop(); cell !== undefined; cell = stack.pop()) {
      if (below[cell] === 1) carried = true;
      for (const near of [cell - 1, cell + 1, cell - width, cell + width]) {
        if (cells[near] !== 1 || seen[near] === 1) continue;
        seen[near] = 1;
        stack.push(near);
      }
    }
    if (!carried) starts++;
  }
  return starts;
}

import { describe, expect, test } from 'vitest';
import { CancelledError, uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { buildRayGrid } from '../../../src/core/rays/buildRayGrid.ts';
import { layerZ, rowIndex, rowY } from '../../../src/core/rays/lattice.ts';
import { latticeFor } from '../../../src/core/rays/latticeFor.ts';
import { layerAreas } from '../../../src/core/rays/layerAreas.ts';
import { runsVolume } from '../../../src/core/rays/runsVolume.ts';
import { solidRuns } from '../../../src/core/rays/solidRuns.ts';
import { windingProfile } from '../../../src/core/rays/windingProfile.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import {
  box,
  hollowSphere,
  icosphere,
  join,
  random,
  reversed,
  sphere,
  torus,
  transformed,
  volumeOf,
} from '../../shapes.ts';
import { boundsOf, gridOf, posed, solidOf } from '../layers/printing.ts';

const TURNS: readonly Vec3[] = [
  [0, 0, 0],
  [90, 0, 0],
  [17, 31, 43],
  [-60, 20, 100],
];

/** Vertices on a coarse grid, so that corners, edges and facets fall on rows and planes all the time. */
function snapped(mesh: Mesh, step: number): Mesh {
  return { positions: mesh.positions.map((v) => Math.round(v / step) * step), triangles: mesh.triangles };
}

describe('buildRayGrid', () => {
  test.each(TURNS)('sphere turned %d %d %d: volume and layer areas of the closed form', (...turn) => {
    for (const scale of [0.5, 1]) {
      const radius = 12 * scale;
      const mesh = transformed(icosphere(radius, 6), { turn, shift: [3, -2, radius + 2] });
      const solid = solidOf(mesh);
      expect(Math.abs(runsVolume(solid) / ((4 / 3) * Math.PI * radius ** 3) - 1)).toBeLessThan(0.002);
      const areas = layerAreas(solid);
      for (let layer = 0; layer < areas.length; layer++) {
        const height = layerZ(solid.lattice, layer) - radius - 2;
        const exact = Math.PI * (radius * radius - height * height);
        if (exact < 100 * scale) continue;
        expect(Math.abs(areas[layer]! / exact - 1)).toBeLessThan(0.002);
      }
    }
  });

  test.each(TURNS)('box and torus turned %d %d %d: volume of the mesh', (...turn) => {
    const shapes = [posed(box([20, 13, 9]), turn, 0), posed(torus(14, 5, 192, 96), turn, 1.5)];
    for (const mesh of shapes) {
      expect(Math.abs(runsVolume(solidOf(mesh)) / volumeOf(mesh) - 1)).toBeLessThan(0.0005);
    }
  });

  test('an upright torus has the layer areas of two circles, then of the cut ring', () => {
    const areas = layerAreas(solidOf(posed(torus(14, 5, 360, 180), [0, 0, 0], 0)));
    for (const layer of [10, 50, 99, 150]) {
      const height = (layer + 0.5) * 0.05 - 5;
      const half = Math.sqrt(25 - height * height);
      expect(areas[layer]! / (Math.PI * ((14 + half) ** 2 - (14 - half) ** 2)) - 1).toBeCloseTo(0, 2.7);
    }
  });

  test('a closed mesh is balanced on every row however its corners fall on rows and planes', () => {
    const next = random(11);
    for (let round = 0; round < 60; round++) {
      const turn: Vec3 = [next() * 360, next() * 360, next() * 360];
      const step = [0.025, 0.05, 0.1, 0.5][round % 4]!;
      const mesh = snapped(transformed(torus(4, 1.7, 24, 12), { turn, shift: [0, 0, 6] }), step);
      const grid = gridOf(mesh, 0.1, 0.05);
      expect(windingProfile(grid).unbalancedRows, `round ${round}`).toBe(0);
      const onRows = buildRayGrid(
        mesh,
        { y0: -6.05, dy: 0.1, rows: 121, z0: -0.025, dz: 0.05, layers: 240 },
        uninterrupted,
      );
      expect(windingProfile(onRows).unbalancedRows, `round ${round} on rows`).toBe(0);
    }
  });

  test('an unshared soup of a closed surface is balanced all the same', () => {
    const mesh = transformed(icosphere(5, 3), { turn: [12, 34, 56], shift: [0, 0, 6] });
    const positions = new Float32Array(mesh.triangles.length * 3);
    mesh.triangles.forEach((v, i) => {
      positions.set(mesh.positions.subarray(3 * v, 3 * v + 3), 3 * i);
    });
    const soup = { positions, triangles: Uint32Array.from(mesh.triangles, (_, i) => i) };
    expect(windingProfile(gridOf(soup)).unbalancedRows).toBe(0);
    expect(gridOf(soup).x).toEqual(gridOf(mesh).x);
  });

  test('a facet in a sampling plane counts as below it', () => {
    // Top face at 1.025, the plane of layer 20; bottom face at 0.525, that of layer 10.
    const mesh = transformed(box([4, 4, 0.5]), { shift: [0, 0, 0.775] });
    mesh.positions.forEach((v, i) => {
      if (i % 3 === 2) mesh.positions[i] = v > 0.8 ? 1.03125 : 0.53125;
    });
    const grid = buildRayGrid(
      mesh,
      { y0: -3, dy: 0.1, rows: 60, z0: 0, dz: 0.0625, layers: 20 },
      uninterrupted,
    );
    const areas = layerAreas(solidRuns(grid));
    expect(layerZ(grid.lattice, 8)).toBe(0.53125);
    expect(areas[7]).toBe(0);
    expect(areas[8]).toBeCloseTo(16, 5);
    expect(areas[15]).toBeCloseTo(16, 5);
    expect(layerZ(grid.lattice, 16)).toBe(1.03125);
    expect(areas[16]).toBe(0);
  });

  test('the jump is +1 going in and −1 coming out, and names its facet', () => {
    const mesh = transformed(box([6, 4, 2]), { shift: [1, 0, 1] });
    const grid = gridOf(mesh, 0.5, 0.5, true);
    const row = rowIndex(grid.lattice, 1, 4);
    expect([...grid.x.subarray(grid.offsets[row], grid.offsets[row + 1])]).toEqual([-2, 4]);
    expect([...grid.jump.subarray(grid.offsets[row], grid.offsets[row + 1])]).toEqual([1, -1]);
    const [inFacet, outFacet] = grid.facet!.subarray(grid.offsets[row], grid.offsets[row + 1]);
    for (const corner of mesh.triangles.subarray(3 * inFacet!, 3 * inFacet! + 3)) {
      expect(mesh.positions[3 * corner]).toBe(-2);
    }
    for (const corner of mesh.triangles.subarray(3 * outFacet!, 3 * outFacet! + 3)) {
      expect(mesh.positions[3 * corner]).toBe(4);
    }
  });

  test('what lies outside the lattice is left out and nothing is written past it', () => {
    const mesh = transformed(sphere(10, 48), { shift: [0, 0, 10] });
    const whole = gridOf(mesh, 0.5, 0.5);
    const part = buildRayGrid(
      mesh,
      { ...whole.lattice, y0: whole.lattice.y0 + 5, rows: 12, z0: 5, layers: 8 },
      uninterrupted,
    );
    for (let layer = 0; layer < 8; layer++) {
      for (let row = 0; row < 12; row++) {
        const a = rowIndex(part.lattice, layer, row);
        const b = rowIndex(whole.lattice, layer + 10, row + 10);
        expect(rowY(part.lattice, row)).toBeCloseTo(rowY(whole.lattice, row + 10), 9);
        const cut = part.x.subarray(part.offsets[a], part.offsets[a + 1]);
        const all = whole.x.subarray(whole.offsets[b], whole.offsets[b + 1]);
        expect(cut.length).toBe(all.length);
        cut.forEach((x, i) => {
          expect(x).toBeCloseTo(all[i]!, 5);
        });
      }
    }
  });

  test('the order of facets changes nothing', () => {
    const mesh = join(sphere(5, 24), transformed(sphere(5, 24), { shift: [0, 2, 1] }));
    const triangles = new Uint32Array(mesh.triangles.length);
    const facets = triangles.length / 3;
    for (let f = 0; f < facets; f++) {
      triangles.set(mesh.triangles.subarray(3 * f, 3 * f + 3), 3 * ((f * 7919) % facets));
    }
    const a = gridOf(mesh);
    const b = gridOf({ positions: mesh.positions, triangles });
    expect(b.x).toEqual(a.x);
    expect(b.jump).toEqual(a.jump);
  });

  test('rows with hundreds of crossings come out sorted', () => {
    const sheets = Array.from({ length: 120 }, (_, i) =>
      transformed(box([0.1, 2, 2]), { shift: [((i * 37) % 120) * 0.25, 0, 1] }),
    );
    const grid = gridOf(join(...sheets), 0.5, 0.5);
    for (let row = 0; row + 1 < grid.offsets.length; row++) {
      for (let i = grid.offsets[row]! + 1; i < grid.offsets[row + 1]!; i++) {
        expect(grid.x[i]! >= grid.x[i - 1]!).toBe(true);
      }
    }
    const filled = [...grid.offsets].map((o, i) => o - (grid.offsets[i - 1] ?? 0));
    expect(Math.max(...filled)).toBe(240);
    expect(runsVolume(solidRuns(grid))).toBeCloseTo(120 * 0.1 * 4, 2);
  });

  test('an interrupter that throws stops it', () => {
    const mesh = posed(icosphere(20, 5), [0, 0, 0], 0);
    expect(() =>
      buildRayGrid(mesh, latticeFor(boundsOf(mesh), 0.1, 0.05), () => {
        throw new CancelledError();
      }),
    ).toThrow(CancelledError);
  });
});

describe('winding', () => {
  test('overlapping shells unite, an inward shell is a void', () => {
    const pair = posed(join(box(10), transformed(box(10), { shift: [4, 3, 2] })), [0, 0, 0], 0);
    expect(runsVolume(solidOf(pair))).toBeCloseTo(2000 - 6 * 7 * 8, 0);
    expect(windingProfile(gridOf(pair)).doubledMm3).toBeCloseTo(6 * 7 * 8, 0);
    const hollow = posed(hollowSphere(12, 2, 160), [0, 0, 0], 0);
    const exact = (4 / 3) * Math.PI * (12 ** 3 - 10 ** 3);
    expect(Math.abs(runsVolume(solidOf(hollow)) / exact - 1)).toBeLessThan(0.002);
    expect(windingProfile(gridOf(hollow)).doubledMm3).toBe(0);
  });

  test('a doubled shell counts once in volume and shows as winding 2', () => {
    const doubled = posed(join(box(8), box(8)), [0, 0, 0], 0);
    expect(runsVolume(solidOf(doubled))).toBeCloseTo(512, 3);
    expect(windingProfile(gridOf(doubled)).doubledMm3).toBeCloseTo(512, 3);
  });

  test('an inside-out mesh is negative and no solid; an open one is unbalanced', () => {
    const inverted = reversed(posed(box(8), [0, 0, 0], 0));
    expect(runsVolume(solidOf(inverted))).toBe(0);
    expect(windingProfile(gridOf(inverted)).negativeMm3).toBeCloseTo(512, 3);
    const whole = posed(box(8), [0, 0, 0], 0);
    const open = { positions: whole.positions, triangles: whole.triangles.slice(6) };
    expect(windingProfile(gridOf(open)).unbalancedRows).toBeGreaterThan(0);
  });
});

describe('latticeFor', () => {
  test('layers run from the plate, an exact top adds none, rows have an empty one on either side', () => {
    const lattice = latticeFor({ min: [0, -4, 5], max: [8, 4, 12] }, 0.1, 0.05);
    expect(lattice.layers).toBe(240);
    expect(lattice.z0).toBe(0);
    expect(latticeFor({ min: [0, 0, 0], max: [1, 1, 12.01] }, 0.1, 0.05).layers).toBe(241);
    expect(lattice.rows).toBe(82);
    expect(rowY(lattice, 0)).toBeLessThan(-4);
    expect(rowY(lattice, 1)).toBeGreaterThan(-4);
    expect(rowY(lattice, 81)).toBeGreaterThan(4);
  });

  test('empty layers under a raised part have rows', () => {
    const areas = layerAreas(solidOf(posed(box([5, 5, 2]), [0, 0, 0], 1)));
    expect(areas.length).toBe(60);
    expect([...areas.subarray(0, 20)].every((a) => a === 0)).toBe(true);
    expect(areas[20]).toBeCloseTo(25, 4);
    expect(areas[59]).toBeCloseTo(25, 4);
  });
});

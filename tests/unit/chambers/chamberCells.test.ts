import { describe, expect, test } from 'vitest';
import { buildChamberCells } from '../../../src/core/chambers/buildChamberCells.ts';
import { cellLookup } from '../../../src/core/chambers/cellLookup.ts';
import { cellMiddle } from '../../../src/core/chambers/cellMiddle.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';
import { cavityOf } from './cavities.ts';

const shifted = (mesh: Mesh, shift: Vec3): Mesh => shapes.transformed(mesh, { shift });
const ball = shifted(shapes.icosphere(20, 6), [50, -30, 10]);

describe('cells of a ball and a box beside it', () => {
  const box = shifted(shapes.box([12, 20, 30]), [90, -30, 10]);
  const cells = buildChamberCells(cavityOf(ball, box), uninterrupted);
  const volumes = [0, 0];
  for (const chamber of cells.chamber) volumes[chamber]! += cells.spacing ** 3;

  test('have the volumes of both, and know which is which', () => {
    expect(cells.spacing).toBe(0.5);
    expect(volumes[0]! / shapes.volumeOf(ball)).toBeCloseTo(1, 2);
    expect(volumes[1]! / 7200).toBeCloseTo(1, 2);
  });

  test('stand in ascending order, and are found by it', () => {
    const lookup = cellLookup(cells);
    for (let place = 0; place < cells.index.length; place += 97) {
      expect(lookup[cells.index[place]!]).toBe(place);
      if (place > 0) expect(cells.index[place]!).toBeGreaterThan(cells.index[place - 1]!);
    }
    expect(lookup.reduce((sum, place) => sum + (place >= 0 ? 1 : 0), 0)).toBe(cells.index.length);
  });

  test('know how far the wall of the ball is', () => {
    for (let place = 0; place < cells.index.length; place += 31) {
      if (cells.chamber[place] !== 0) continue;
      const depth = 20 - norm(subtract(cellMiddle(cells, place), [50, -30, 10]));
      const clearance = cells.clearance[place]!;
      expect(clearance).toBeGreaterThan(depth - 0.02);
      expect(clearance).toBeLessThan(Math.hypot(depth, 0.3) + 0.1 * cells.spacing + 0.01 * depth);
    }
  });
});

test('clearance behind corners: the same as by trying every corner of the mesh', () => {
  const ring = shapes.torus(18, 6, 120, 60);
  const cells = buildChamberCells(cavityOf(ring), uninterrupted);
  let worst = 0;
  for (let place = 0; place < cells.index.length; place += 173) {
    const [x, y, z] = cellMiddle(cells, place);
    let least = Infinity;
    for (let i = 0; i < ring.positions.length; i += 3) {
      const squared =
        (ring.positions[i]! - x) ** 2 + (ring.positions[i + 1]! - y) ** 2 + (ring.positions[i + 2]! - z) ** 2;
      least = Math.min(least, squared);
    }
    worst = Math.max(worst, Math.abs(cells.clearance[place]! - Math.sqrt(least)));
  }
  expect(worst).toBeLessThan(0.1 * cells.spacing);
});

test('a large hollow gets coarser cells, about as many', () => {
  const cells = buildChamberCells(cavityOf(shapes.icosphere(60, 6)), uninterrupted);
  expect(cells.index.length).toBeGreaterThan(380_000);
  expect(cells.index.length).toBeLessThan(420_000);
});

test('no chambers, no cells', () => {
  const none = cavityOf();
  expect(buildChamberCells({ ...none, mesh: shapes.meshOf([], []) }, uninterrupted).index.length).toBe(0);
});

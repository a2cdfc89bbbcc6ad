import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { buildVoidGraph } from '../../../src/core/layers/buildVoidGraph.ts';
import { cutAreas } from '../../../src/core/layers/cutSolid.ts';
import { linkOpenings } from '../../../src/core/layers/linkOpenings.ts';
import { openingRuns } from '../../../src/core/layers/openingRuns.ts';
import { subtractOpenings } from '../../../src/core/layers/subtractOpenings.ts';
import type { PlacedOpening } from '../../../src/core/openings/opening.ts';
import { layerZ, rowY } from '../../../src/core/rays/lattice.ts';
import { layerAreas } from '../../../src/core/rays/layerAreas.ts';
import { runsVolume } from '../../../src/core/rays/runsVolume.ts';
import { solidRuns } from '../../../src/core/rays/solidRuns.ts';
import { normalized, type Vec3 } from '../../../src/core/vector.ts';
import { box, cylinder, hollowSphere, random, transformed } from '../../shapes.ts';
import { gridOf, openingAt, posed, solidOf } from './printing.ts';

function randomOpening(next: () => number): PlacedOpening {
  const axis = normalized([next() - 0.5, next() - 0.5, next() - 0.5]);
  return openingAt(
    [next() * 20 - 10, next() * 20 - 10, next() * 20],
    axis,
    0.5 + next() * 3,
    1 + next() * 8,
    next(),
  );
}

describe('openingRuns', () => {
  const { lattice } = solidOf(posed(box(20), [0, 0, 0], 0), 0.25, 0.25);

  test('every interval is what points along the row say', () => {
    const next = random(99);
    const axes: Vec3[] = [
      [1, 0, 0],
      [0, -1, 0],
      [0, 0, 1],
    ];
    let hits = 0;
    for (let round = 0; round < 60; round++) {
      const random = randomOpening(next);
      const opening = round < 3 ? { ...random, axis: axes[round]! } : random;
      const block = openingRuns(opening, lattice);
      const { mouth, axis, radius, depth, outward } = opening;
      for (let probe = 0; probe < 3000; probe++) {
        const layer = Math.floor(next() * lattice.layers);
        const row = Math.floor(next() * lattice.rows);
        const x = mouth[0] + (next() - 0.5) * 2.4 * (depth + radius);
        const d = [x - mouth[0], rowY(lattice, row) - mouth[1], layerZ(lattice, layer) - mouth[2]];
        const along = d[0]! * axis[0] + d[1]! * axis[1] + d[2]! * axis[2];
        const off = Math.sqrt(Math.max(0, d[0]! ** 2 + d[1]! ** 2 + d[2]! ** 2 - along ** 2));
        const margin = Math.min(radius - off, along + outward, depth - along);
        if (Math.abs(margin) < 1e-6) continue;
        const i = layer - block.firstLayer;
        const j = row - block.firstRow;
        const within = i >= 0 && i < block.layers && j >= 0 && j < block.rows;
        const covered = within && x > block.low[i * block.rows + j]! && x < block.high[i * block.rows + j]!;
        if (covered !== margin > 0) expect.fail(`round ${round}: ${JSON.stringify(opening)}`);
        if (covered) hits++;
      }
    }
    expect(hits).toBeGreaterThan(500);
  });

  test('an endless or far-off opening stays within the lattice', () => {
    const endless = openingRuns(openingAt([0, 0, 10], [0.3, 0.5, 0.2], 2, 1e9), lattice);
    expect(endless.firstLayer + endless.layers).toBeLessThanOrEqual(lattice.layers);
    expect(endless.firstRow + endless.rows).toBeLessThanOrEqual(lattice.rows);
    const away = openingRuns(openingAt([0, 1e6, 10], [1, 0, 0], 2, 5), lattice);
    expect(away.layers * away.rows).toBe(0);
  });
});

describe('cutting', () => {
  test('an oblique opening removes the volume of its cylinder from a block', () => {
    const block = solidOf(posed(box(30), [0, 0, 0], 0));
    for (const toward of [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
      [1, 2, 3],
      [-3, 1, 0.2],
    ] as const) {
      const opening = openingAt([0, 0, 15], toward, 2.5, 6, 1);
      const removed = cutAreas([opening], block).reduce((a, b) => a + b, 0) * 0.05;
      expect(Math.abs(removed / (Math.PI * 2.5 ** 2 * 7) - 1), `${toward}`).toBeLessThan(0.003);
    }
  });

  test('agrees with the ray grid of the cylinder as a mesh', () => {
    const opening = openingAt([0, 0, 15], [0, 0, 1], 3, 5, 0);
    const block = solidOf(posed(box(30), [0, 0, 0], 0));
    const rod = transformed(cylinder(3, 5, 512), { shift: [0, 0, 15] });
    const areas = layerAreas(solidRuns(gridOf(rod)));
    const cut = cutAreas([opening], block);
    for (let layer = 305; layer < 395; layer++) expect(cut[layer]! / areas[layer]!).toBeCloseTo(1, 2.5);
    expect(cut[299]).toBe(0);
    expect(cut[400]).toBe(0);
  });

  test('fast areas agree with the solid subtracted, openings that overlap counted once', () => {
    for (let seed = 1; seed <= 25; seed++) {
      const next = random(seed);
      const solid = solidOf(posed(hollowSphere(10, 2.5, 64), [0, 0, 0], 0), 0.2, 0.2);
      const openings = Array.from({ length: 4 }, () => randomOpening(next));
      const before = layerAreas(solid);
      const after = layerAreas(subtractOpenings(solid, openings));
      const cut = cutAreas(openings, solid);
      for (let layer = 0; layer < cut.length; layer++) {
        expect(Math.abs(before[layer]! - after[layer]! - cut[layer]!), `seed ${seed}`).toBeLessThan(2e-3);
      }
    }
    const solid = solidOf(posed(box(20), [0, 0, 0], 0), 0.2, 0.2);
    const twice = openingAt([0, 0, 10], [1, 0, 0], 2, 5);
    expect(cutAreas([twice, twice], solid)).toEqual(cutAreas([twice], solid));
    expect(cutAreas([], solid).every((area) => area === 0)).toBe(true);
    expect(runsVolume(subtractOpenings(solid, []))).toBe(runsVolume(solid));
  });
});

describe('linking', () => {
  test('a mouth on a curved surface touches the outside however it lies, with a hair of reach', () => {
    const next = random(31);
    const shell = posed(hollowSphere(12, 1.5, 256), [0, 0, 0], 5);
    const solid = solidOf(shell);
    const { graph, labels } = buildVoidGraph(solid, null, uninterrupted);
    for (let round = 0; round < 60; round++) {
      const out = normalized([next() - 0.5, next() - 0.5, next() - 0.5]);
      const mouth: Vec3 = [12 * out[0], 12 * out[1], 17 + 12 * out[2]];
      const radius = 0.5 + next() * 3;
      const sagitta = 12 - Math.sqrt(144 - radius * radius);
      const opening = openingAt(mouth, [-out[0], -out[1], -out[2]], radius, 4, sagitta + 0.01);
      const [link] = linkOpenings([opening], labels);
      const touched = [...link!.regions].map((region) => graph.enclosed[region]);
      expect(touched, `round ${round} at ${mouth}`).toContain(0);
      expect(touched, `round ${round} at ${mouth}`).toContain(1);
    }
  });
});

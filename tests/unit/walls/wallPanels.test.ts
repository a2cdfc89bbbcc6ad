import { describe, expect, test } from 'vitest';
import { hollow } from '../../../src/core/field/hollow.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import type { WallPanel } from '../../../src/core/walls/wallPanel.ts';
import { wallPanels } from '../../../src/core/walls/wallPanels.ts';
import * as shapes from '../../shapes.ts';

function panelsOf(mesh: Mesh, wallMm = 1.5): WallPanel[] {
  const result = hollow(mesh, { wallMm, leastChamberMm3: 1, maxNodes: 2e7 }, uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  return wallPanels(result.value, wallMm, uninterrupted);
}

/** A round bar with half-spheres on its ends, along z. */
function capsule(radius: number, straight: number, n: number): Mesh {
  const profile: [number, number][] = [];
  for (let i = 0; i <= n / 4; i++) {
    const a = ((i / (n / 4) - 1) * Math.PI) / 2;
    profile.push([i === 0 ? 0 : radius * Math.cos(a), -straight / 2 + radius * Math.sin(a)]);
  }
  for (let i = 0; i <= n / 4; i++) {
    const a = (i / (n / 4)) * (Math.PI / 2);
    profile.push([i === n / 4 ? 0 : radius * Math.cos(a), straight / 2 + radius * Math.sin(a)]);
  }
  return shapes.lathe(profile, n);
}

const turns: Vec3[] = [
  [0, 0, 0],
  [20, 30, 40],
];

describe('a chamber’s walls in pieces', () => {
  test.each(turns)('a box turned by %s, %s, %s: six flat panels of its inner faces', (...turn) => {
    const panels = panelsOf(shapes.transformed(shapes.box([63, 43, 33]), { turn }));
    expect(panels.map(({ shape }) => shape)).toEqual(Array(6).fill('flat'));
    const sizes = panels.map(({ spanMm, lengthMm }) => [spanMm, lengthMm]);
    const faces = [
      [40, 60],
      [40, 60],
      [30, 60],
      [30, 60],
      [30, 40],
      [30, 40],
    ];
    faces.forEach(([span, length], n) => {
      expect(Math.abs(sizes[n]![0]! - span!)).toBeLessThan(turn[0] === 0 ? 0.1 : 1);
      expect(Math.abs(sizes[n]![1]! - length!)).toBeLessThan(2);
    });
    // The largest faces reach from rim to rim.
    const along = panels[0]!.extremes.map((point) => point[0] ** 2 + point[1] ** 2 + point[2] ** 2);
    expect(Math.abs(Math.sqrt(Math.max(...along)) - Math.hypot(30, 20, 15))).toBeLessThan(0.3);
    for (const { outward, at, extremes } of panels) {
      // From the middle of the box straight to the panel.
      const reach = at[0] * outward[0] + at[1] * outward[1] + at[2] * outward[2];
      expect([30, 20, 15].some((half) => Math.abs(half - reach) < 0.1)).toBe(true);
      for (const point of extremes)
        expect(point[0] * outward[0] + point[1] * outward[1] + point[2] * outward[2]).toBeGreaterThan(
          reach - 1,
        );
    }
  });

  test('a sphere: caps of its radius', () => {
    const panels = panelsOf(shapes.icosphere(31.5, 6));
    expect(panels.length).toBeGreaterThan(8);
    for (const { shape, radiusMm } of panels.slice(0, 8)) {
      expect(shape).toBe('shell');
      expect(Math.abs(radiusMm! / 30 - 1)).toBeLessThan(0.07);
    }
  });

  test.each(turns)('a capsule turned by %s, %s, %s: tubes of its radius and straight length', (...turn) => {
    const panels = panelsOf(shapes.transformed(capsule(21.5, 80, 128), { turn }));
    const tubes = panels.filter(({ shape }) => shape === 'tube');
    expect(tubes.length).toBeGreaterThan(8);
    // Its normals keep within 12° for 4 mm of either cap.
    for (const { radiusMm, spanMm } of tubes.slice(0, 8)) {
      expect(Math.abs(radiusMm! / 20 - 1)).toBeLessThan(0.07);
      expect(spanMm).toBeGreaterThan(78);
      expect(spanMm).toBeLessThan(90);
    }
    expect(panels.some(({ shape }) => shape === 'flat')).toBe(false);
  });

  test('a drum: two round panels and a tube', () => {
    const panels = panelsOf(shapes.cylinder(31.5, 43, 256));
    const round = panels.filter(({ shape }) => shape === 'flat');
    expect(round).toHaveLength(2);
    for (const { spanMm, lengthMm } of round) {
      // Two per cent: the rim is seen between corners half a millimetre apart.
      expect(Math.abs(spanMm - 60)).toBeLessThan(1.2);
      expect(lengthMm / spanMm).toBeCloseTo(Math.PI / 4, 1);
    }
    const tubes = panels.filter(({ shape }) => shape === 'tube');
    expect(tubes.length).toBeGreaterThan(8);
    for (const { radiusMm, spanMm } of tubes.slice(0, 8)) {
      expect(Math.abs(radiusMm! / 30 - 1)).toBeLessThan(0.07);
      expect(Math.abs(spanMm - 40)).toBeLessThan(1.5);
    }
  });

  test('a dented wall is stretched there, not bent: the dent is no panel', () => {
    const part = shapes.join(shapes.box(60), shapes.reversed(shapes.icosphere(12, 5)));
    // The wall round the void in the middle faces the hollow and curves inward.
    expect(panelsOf(part).filter(({ at }) => Math.hypot(...at) < 16)).toEqual([]);
  });

  test('the same input gives the same panels', () => {
    const mesh = shapes.torus(20, 8, 96, 48);
    expect(panelsOf(mesh)).toEqual(panelsOf(mesh));
  });
});

import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { largestDisc } from '../../../src/core/layers/largestDisc.ts';
import { measureLayers } from '../../../src/core/layers/measureLayers.ts';
import { overhangRuns, selfSupportReach } from '../../../src/core/layers/overhangs.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { layerAreas } from '../../../src/core/rays/layerAreas.ts';
import { box, cone, hollowSphere, icosphere, join, random, reversed, transformed } from '../../shapes.ts';
import { posed, solidOf } from './printing.ts';

const overhangOf = (mesh: Mesh, deg: number, dy = 0.1, dz = 0.05) =>
  layerAreas(overhangRuns(solidOf(mesh, dy, dz), selfSupportReach(dz, deg), uninterrupted));
const total = (areas: Float64Array) => areas.reduce((sum, area) => sum + area, 0);
const degrees = (radians: number) => (radians * 180) / Math.PI;

/** A cone with its tip down on a foot, so that only its slope can overhang. */
function funnel(radius: number, height: number): Mesh {
  const upsideDown = transformed(cone(radius, height, 256), { turn: [180, 0, 0], shift: [0, 0, height] });
  return join(upsideDown, transformed(box([4, 4, 2]), { shift: [0, 0, 1] }));
}

/**
 * The stated rule integrated around a circle that grows by `growth` a layer: where the front has
 * the direction (cos a, sin a), row m carries it as far as m·dy·sin a + width(m)·cos a.
 */
function ruledOverhang(radius: number, growth: number, reach: number, dy: number): number {
  const steps = 20000;
  let length = 0;
  for (let i = 0; i < steps; i++) {
    const angle = ((i + 0.5) / steps) * (Math.PI / 2);
    let carried = 0;
    for (let m = 0; m <= Math.ceil(reach / dy - 1e-9); m++) {
      const width = Math.sqrt(Math.max(0, reach ** 2 - (Math.max(0, m - 1) * dy) ** 2));
      carried = Math.max(carried, m * dy * Math.sin(angle) + width * Math.cos(angle));
    }
    length += Math.max(0, growth - carried);
  }
  return (length / steps) * 2 * Math.PI * radius;
}

describe('overhangs', () => {
  test('a slope one degree steeper than the angle has none, one that is flatter has its share', () => {
    for (const angle of [20, 30, 45, 60]) {
      const steep = 14 * Math.tan(((angle + 1) * Math.PI) / 180);
      expect(total(overhangOf(funnel(14, steep), angle)), `${angle} deg`).toBeLessThan(0.05);
    }
    // Cone of half the slope: each layer grows by 2h where h carries itself.
    for (const dy of [0.1, 0.03, 0.01]) {
      const areas = overhangOf(funnel(14, 7), 45, dy, 0.05);
      for (const layer of [60, 90, 120]) {
        const radius = 2 * (layer + 0.5) * 0.05;
        const ruled = ruledOverhang(radius, 0.1, 0.05, dy);
        expect(areas[layer]! / ruled, `dy ${dy}, layer ${layer}`).toBeGreaterThan(0.9);
        expect(areas[layer]! / ruled, `dy ${dy}, layer ${layer}`).toBeLessThan(1.1);
        // What the whole rows let off only ever makes it less than the true ring.
        expect(areas[layer]!).toBeLessThan(Math.PI * (radius ** 2 - (radius - 0.05) ** 2) * 1.02);
      }
    }
  });

  test('boxes in any turn whose faces are all steeper than the angle have slivers at most', () => {
    const next = random(404);
    for (let round = 0; round < 25; round++) {
      // Standing near a corner: every face is at about 54.7 degrees from the plate.
      const turn = [45 + next() * 6 - 3, 35.26 + next() * 6 - 3, next() * 360] as const;
      const mesh = posed(box(9), turn, 0);
      const areas = overhangOf(mesh, 30);
      expect(total(areas) / total(layerAreas(solidOf(mesh))), `turn ${turn}`).toBeLessThan(1e-4);
    }
  });

  test('a ledge overhangs by its area less the reach, once', () => {
    const tee = join(
      transformed(box([6, 10, 5]), { shift: [0, 0, 2.5] }),
      transformed(box([16, 10, 2]), { shift: [0, 0, 6] }),
    );
    const areas = overhangOf(tee, 45);
    expect(areas[100]).toBeCloseTo(2 * (5 - 0.05) * 10, 1);
    expect(total(areas) - areas[100]!).toBeLessThan(1e-3);
    const across = overhangOf(transformed(tee, { turn: [0, 0, 90] }), 45);
    expect(across[100]!).toBeLessThanOrEqual(2 * (5 - 0.05) * 10 + 0.01);
    expect(across[100]!).toBeGreaterThan(2 * (5 - 0.2) * 10);
  });

  test('the first layer of a raised part overhangs wholly, the first on the plate not at all', () => {
    const cube = box([6, 6, 2]);
    expect(total(overhangOf(posed(cube, [0, 0, 0], 0), 45))).toBe(0);
    const raised = overhangOf(posed(cube, [0, 0, 0], 1), 45);
    expect(raised[20]).toBeCloseTo(36, 4);
    expect(total(raised)).toBeCloseTo(36, 4);
  });

  test('an angle of 0 means everything carries itself; of 90 nothing reaches out', () => {
    const mesh = funnel(10, 5);
    expect(total(overhangOf(mesh, 0))).toBe(0);
    expect(total(overhangOf(mesh, 90))).toBeGreaterThan(total(overhangOf(mesh, 45)));
  });
});

describe('ceilings', () => {
  const limits = { selfSupportDeg: 45, ceilingMm2: 20, ceilingSpanMm: 4 };
  const ceilingsOf = (mesh: Mesh) => measureLayers(solidOf(mesh), null, limits, uninterrupted).ceilings;

  test('the flat roof of a box cavity is one ceiling, inside, at its layer, with its span', () => {
    for (const heading of [0, 25, 90]) {
      const part = join(box([24, 18, 14]), reversed(box([20, 12, 10])));
      const ceilings = ceilingsOf(posed(part, [0, 0, heading], 0));
      expect(ceilings.length).toBe(1);
      const [roof] = ceilings;
      expect(roof!.layer).toBe(240);
      expect(roof!.inside).toBe(true);
      expect(roof!.areaMm2).toBeGreaterThan(19.7 * 11.7);
      expect(roof!.areaMm2).toBeLessThan(240);
      expect(roof!.spanMm).toBeGreaterThan(11.6);
      expect(roof!.spanMm).toBeLessThan(12.15);
      expect(Math.hypot(roof!.at[0], roof!.at[1])).toBeLessThan(4.2);
      expect(roof!.at[2]).toBeCloseTo(12, 9);
    }
  });

  test('a bridge between posts is a ceiling that is not inside; below either limit it is none', () => {
    const bridge = (span: number, width: number) =>
      join(
        transformed(box([3, width, 6]), { shift: [-span / 2 - 1.5, 0, 3] }),
        transformed(box([3, width, 6]), { shift: [span / 2 + 1.5, 0, 3] }),
        transformed(box([span + 6, width, 2]), { shift: [0, 0, 7] }),
      );
    const [deck, ...others] = ceilingsOf(bridge(12, 6));
    expect(others).toEqual([]);
    expect(deck!.inside).toBe(false);
    expect(deck!.layer).toBe(120);
    expect(deck!.spanMm).toBeGreaterThan(5.8);
    expect(deck!.spanMm).toBeLessThan(6.2);
    expect(ceilingsOf(bridge(30, 3))).toEqual([]);
    expect(ceilingsOf(bridge(4.5, 4.1))).toEqual([]);
  });

  test('a roof that closes over many layers is told once', () => {
    // A dome so flat that ring after ring is over the limit.
    const dome = transformed(icosphere(60, 6), { scale: [1, 1, 0.02], shift: [0, 0, 3] });
    const block = transformed(box([140, 140, 6]), { shift: [0, 0, 4] });
    const mesh = transformed(join(block, reversed(dome)), { scale: [0.4, 0.4, 1] });
    const ceilings = measureLayers(
      solidOf(mesh),
      null,
      { selfSupportDeg: 45, ceilingMm2: 10, ceilingSpanMm: 1 },
      uninterrupted,
    ).ceilings;
    expect(ceilings.length).toBe(1);
    // The top is at 4.2; layer 84 closes what is open in the plane at 4.175.
    expect(ceilings[0]!.layer).toBe(84);
    expect(ceilings[0]!.inside).toBe(true);
    const radius = 24 * Math.sqrt(1 - ((4.175 - 3) / 1.2) ** 2);
    expect(ceilings[0]!.spanMm).toBeGreaterThan(2 * radius - 0.6);
    expect(ceilings[0]!.spanMm).toBeLessThan(2 * radius + 0.2);
  });

  test('an island is told as island, not as ceiling', () => {
    const mesh = join(
      transformed(box([4, 4, 9]), { shift: [-12, 0, 4.5] }),
      transformed(box([12, 12, 3]), { shift: [2, 0, 5] }),
    );
    const figures = measureLayers(solidOf(mesh), null, limits, uninterrupted);
    expect(figures.islands.length).toBe(1);
    expect(figures.ceilings).toEqual([]);
    expect(figures.overhang[70]).toBeCloseTo(144, 1);
  });

  test('a sphere cavity closes within the limits of a self-supporting cap', () => {
    const ceilings = ceilingsOf(posed(hollowSphere(20, 2, 256), [0, 0, 0], 0));
    // Last disc: radius √(2·18·0.025…0.075), about 0.95 to 1.6 mm, area under 20 mm².
    expect(ceilings).toEqual([]);
  });
});

describe('largestDisc', () => {
  test('agrees with brute force over all cells', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const next = random(seed);
      const [width, height] = [3 + Math.floor(next() * 20), 3 + Math.floor(next() * 20)];
      const cells = Uint8Array.from({ length: width * height }, () => (next() < 0.93 ? 1 : 0));
      let best = 0;
      for (let y = 0; y < height; y++) {
        for (let x = 0; x < width; x++) {
          let nearest = Number.POSITIVE_INFINITY;
          for (let v = -1; v <= height; v++) {
            for (let u = -1; u <= width; u++) {
              const inside = v >= 0 && v < height && u >= 0 && u < width && cells[v * width + u] === 1;
              if (!inside) nearest = Math.min(nearest, Math.hypot(u - x, v - y));
            }
          }
          best = Math.max(best, nearest);
        }
      }
      expect(largestDisc({ width, height, cells }).diameter, `seed ${seed}`).toBeCloseTo(
        Math.max(0, 2 * best - 1),
        9,
      );
    }
  });

  test('a drawn disc has its own diameter and centre', () => {
    const cells = new Uint8Array(101 * 101);
    for (let i = 0; i < cells.length; i++) {
      if (Math.hypot((i % 101) - 60, Math.floor(i / 101) - 45) < 30) cells[i] = 1;
    }
    const disc = largestDisc({ width: 101, height: 101, cells });
    expect(disc.diameter).toBeGreaterThan(58.5);
    expect(disc.diameter).toBeLessThan(61);
    expect([disc.column, disc.row]).toEqual([60, 45]);
  });
});

test('the reach is the layer height over the tangent of the angle', () => {
  expect(selfSupportReach(0.05, 45)).toBeCloseTo(0.05, 12);
  expect(degrees(Math.atan(0.05 / selfSupportReach(0.05, 30)))).toBeCloseTo(30, 9);
  expect(selfSupportReach(0.05, 0)).toBe(Number.POSITIVE_INFINITY);
});

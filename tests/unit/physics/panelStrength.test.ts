import { describe, expect, test } from 'vitest';
import { clampedPlateLargeStress, clampedPlateStress } from '../../../src/core/physics/clampedPlate.ts';
import { clampedRectangle } from '../../../src/core/physics/clampedRectangle.ts';
import { panelState, risingPanelState } from '../../../src/core/physics/panelStrength.ts';
import { weakestPanels } from '../../../src/core/physics/weakestPanels.ts';
import type { WallPanel } from '../../../src/core/walls/wallPanel.ts';

/** Physics table: R 60, t 1.5 mm, E 1 GPa; ν = 0.4 is the model's. */
const stuff = { wallMm: 1.5, strength: 25, modulus: 1000 };

function panel(more: Partial<WallPanel>): WallPanel {
  const panel: WallPanel = {
    chamber: 0,
    shape: 'flat',
    spanMm: 120,
    lengthMm: 120,
    radiusMm: null,
    at: [0, 0, 0],
    outward: [1, 0, 0],
    extremes: [],
  };
  return { ...panel, ...more };
}

const round = panel({ lengthMm: (120 * Math.PI) / 4 });
const close = (value: number, wanted: number, share: number): void =>
  expect(Math.abs(value / wanted - 1)).toBeLessThan(share);

describe('a flat panel', () => {
  test('a circle of 120 mm at 1 kPa: 1.20 MPa and 0.605 mm', () => {
    const { stressMpa, deflectionMm, bucklesKpa, valid } = panelState(round, 1, stuff);
    close(stressMpa, 1.2, 1e-3);
    close(deflectionMm, 0.605, 1e-3);
    expect(bucklesKpa).toBeNull();
    expect(valid).toBe(true);
  });

  test('at 10 kPa the membrane carries its share: 2.53 mm instead of 6.05, and less than 12 MPa', () => {
    const { stressMpa, deflectionMm } = panelState(round, 10, stuff);
    close(deflectionMm, 2.532, 2e-3);
    expect(stressMpa).toBeLessThan(12);
    expect(stressMpa).toBeGreaterThan(6);
    // Roark’s form at x = 1.688: 1 GPa·(1.5/60)²·(4·x/0.84 + 1.73·x²).
    close(stressMpa, 1000 * (1.5 / 60) ** 2 * ((4 * 1.688) / 0.84 + 1.73 * 1.688 ** 2), 2e-3);
  });

  test('both stresses agree where the deflection is small, and there is no jump at half a wall', () => {
    const plate = { radius: 0.06, thickness: 1.5e-3, modulus: 1e9, poisson: 0.4 };
    close(clampedPlateLargeStress(plate, 1), clampedPlateStress(plate, 1), 1e-3);
    const before = panelState(round, 1.239, stuff);
    const after = panelState(round, 1.241, stuff);
    expect(before.deflectionMm).toBeLessThan(0.75);
    // The linear formula is left where it is an eighth too high.
    expect(after.deflectionMm / before.deflectionMm).toBeGreaterThan(0.85);
    expect(after.stressMpa / before.stressMpa).toBeGreaterThan(0.85);
  });

  test.each([
    [1, 0.3078, 0.0138],
    [2, 0.4974, 0.0277],
    [20, 0.5, 0.0284],
    [0.5, 0.1875, 0.0106875],
    [1.5, 0.4518, 0.02385],
  ])('of %s times its width: Timoshenko’s %s and %s', (aspect, stress, deflection) => {
    const found = clampedRectangle(aspect);
    expect(found.stress).toBeCloseTo(stress, 4);
    expect(found.deflection).toBeCloseTo(deflection, 5);
  });

  test('thicker is never worse, more pressure never better', () => {
    for (const aspect of [0.7, 1, 1.3, 3])
      for (let kpa = 0.5; kpa < 100; kpa *= 2) {
        const flat = panel({ spanMm: 50, lengthMm: 50 * aspect });
        const now = panelState(flat, kpa, stuff);
        expect(panelState(flat, 2 * kpa, stuff).stressMpa).toBeGreaterThan(now.stressMpa);
        expect(panelState(flat, 2 * kpa, stuff).deflectionMm).toBeGreaterThan(now.deflectionMm);
        const thick = panelState(flat, kpa, { ...stuff, wallMm: 3 });
        expect(thick.stressMpa).toBeLessThan(now.stressMpa);
        expect(thick.deflectionMm).toBeLessThan(now.deflectionMm);
      }
  });

  test('while it rises: a cantilever of its height, later a strip across its width', () => {
    // 3·p·H²/t² and p·H⁴/(8·D), D = 334.82 N·mm.
    const low = risingPanelState(80, 10, 5, stuff);
    close(low.stressMpa, (3 * 0.005 * 100) / 2.25, 1e-9);
    close(low.deflectionMm, (0.005 * 1e4) / (8 * 334.82), 1e-4);
    // p·b²/(2·t²) and p·b⁴/(384·D).
    const high = risingPanelState(80, 60, 5, stuff);
    close(high.stressMpa, (0.005 * 6400) / (2 * 2.25), 1e-9);
    close(high.deflectionMm, (0.005 * 80 ** 4) / (384 * 334.82), 1e-4);
    expect(high.valid).toBe(false);
  });
});

describe('a curved wall', () => {
  test('a sphere of 60 mm to the middle of its wall: a fifth of 787 kPa, p·R/2t', () => {
    const { bucklesKpa, stressMpa, valid } = panelState(
      panel({ shape: 'shell', radiusMm: 59.25 }),
      101.325,
      stuff,
    );
    close(bucklesKpa!, 157.5, 1e-3);
    close(stressMpa, (0.101325 * 60) / 3, 1e-9);
    expect(valid).toBe(true);
  });

  test('a tube of 120 mm, as long as wide, one end free: 0.6 of 50.7 kPa; a long one 4.65 kPa', () => {
    const tube = panel({ shape: 'tube', radiusMm: 59.25, spanMm: 120 });
    close(panelState(tube, 1, stuff).bucklesKpa!, 0.6 * 50.7, 5e-3);
    close(panelState(tube, 1, stuff).stressMpa, (0.001 * 60) / 1.5, 1e-9);
    close(panelState({ ...tube, spanMm: 5000 }, 1, stuff).bucklesKpa!, 4.65, 1e-3);
  });

  test('a thick one is out of the formula’s reach', () => {
    expect(panelState(panel({ shape: 'shell', radiusMm: 8 }), 1, stuff).valid).toBe(false);
  });
});

test('what is kept of many panels are the weakest, in their order', () => {
  const wide = Array.from({ length: 100 }, (_, n) => panel({ spanMm: 40 + n, lengthMm: 40 + n }));
  const kept = weakestPanels([panel({ spanMm: 6, lengthMm: 6 }), ...wide], 1.5);
  expect(kept).toHaveLength(80);
  expect(kept.map(({ spanMm }) => spanMm)).toEqual(Array.from({ length: 80 }, (_, n) => 60 + n));
});

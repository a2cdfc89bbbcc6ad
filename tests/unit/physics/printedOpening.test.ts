import { describe, expect, it } from 'vitest';
import { circularSegment } from '../../../src/core/physics/circularSegment.ts';
import {
  boreLength,
  type LoadOpening,
  plateSideEdge,
  printedSection,
} from '../../../src/core/physics/printedOpening.ts';
import type { Vec3 } from '../../../src/core/vector.ts';

function opening(axis: Vec3, chamberDepthMm: number | null = 2): LoadOpening {
  return {
    chamber: 0,
    chamberDepthMm,
    placed: { id: 'vents/0', kind: 'vent', mouth: [0, 0, 10], axis, radius: 5, depth: 4, outward: 0 },
  };
}

/** Radius 5 mm, tilted by 30° out of the layers: its disc spans 10 mm · cos 30° of height. */
const cosine = Math.sqrt(0.75);
const rising: Vec3 = [cosine, 0, 0.5];
const falling: Vec3 = [cosine, 0, -0.5];

describe('an opening as printed so far', () => {
  it('is cut by the film where the tilted disc meets it', () => {
    expect(plateSideEdge(opening(rising).placed)).toBeCloseTo(10 - 5 * cosine, 12);
    // Falling: the chamber end lies nearer to the plate, so the mouth is the later of the two.
    expect(printedSection(opening(falling), 10).area).toBeCloseTo(circularSegment(5e-3, 5e-3).area, 12);
    const quarter = printedSection(opening(falling), 10 - 2.5 * cosine);
    expect(quarter.area).toBeCloseTo(circularSegment(5e-3, 2.5e-3).area, 12);
    expect(quarter.hydraulicDiameter).toBeCloseTo(circularSegment(5e-3, 2.5e-3).hydraulicDiameter, 12);
  });

  it('is as narrow as its later end: rising, the one in the chamber, 2 mm · ½ further', () => {
    expect(printedSection(opening(rising), 11).area).toBeCloseTo(circularSegment(5e-3, 5e-3).area, 12);
  });

  it('is whole once the film is past both, and nothing before the first edge', () => {
    expect(printedSection(opening(rising), 11 + 5 * cosine + 1e-9).area).toBeCloseTo(Math.PI * 25e-6, 12);
    expect(printedSection(opening(rising), 11 - 5 * cosine - 1e-9).area).toBe(0);
    expect(printedSection(opening([0, 0, 1]), 11.9).area).toBe(0);
    expect(printedSection(opening([0, 0, 1]), 12).area).toBeCloseTo(Math.PI * 25e-6, 12);
  });

  it('grows with every layer', () => {
    let before = 0;
    for (let film = 4; film < 20; film += 0.05) {
      const { area } = printedSection(opening(rising), film);
      expect(area).toBeGreaterThanOrEqual(before);
      before = area;
    }
  });

  it('is as long as the wall, or as drilled where it opens no chamber', () => {
    expect(boreLength(opening(rising))).toBeCloseTo(2e-3, 12);
    expect(boreLength(opening(rising, null))).toBeCloseTo(4e-3, 12);
    expect(boreLength(opening(rising, -1))).toBe(0);
  });
});

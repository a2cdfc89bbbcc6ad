import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { atmosphericCap } from '../../../src/core/physics/atmosphericCap.ts';
import { circularSegment, roundSection } from '../../../src/core/physics/circularSegment.ts';
import { cupSuction } from '../../../src/core/physics/cupSuction.ts';
import { parallelVents } from '../../../src/core/physics/parallelVents.ts';
import { requiredDiameter } from '../../../src/core/physics/requiredDiameter.ts';
import { squeezeForce } from '../../../src/core/physics/squeezeForce.ts';
import { stefanForce } from '../../../src/core/physics/stefanForce.ts';
import { discTorsion } from '../../../src/core/physics/torsionConstant.ts';
import { ventFlow, ventPressureDrop, ventResistance } from '../../../src/core/physics/ventResistance.ts';

/** fast-check prints the seed of a failure. */
const logRange = (low: number, high: number) =>
  fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }).map(Math.exp);
const resin = fc.record({ viscosity: logRange(0.02, 5), density: logRange(900, 1400) });
const diameter = logRange(0.2e-3, 40e-3);
const length = logRange(0.1e-3, 50e-3);
const demand = fc
  .record({ area: logRange(1e-7, 0.02), depth: logRange(0.02e-3, 0.2), speed: logRange(1e-4, 5e-3) })
  .map((cup) => ({ ...cup, floorArea: cup.area }));

describe('scaling laws', () => {
  it('Stefan goes with R⁴, h⁻³, v and µ', () => {
    const film = { viscosity: 0.2, speed: 1e-3, gap: 1e-4 };
    const force = stefanForce(discTorsion(5e-3), film);
    expect(stefanForce(discTorsion(10e-3), film) / force).toBeCloseTo(16, 9);
    expect(stefanForce(discTorsion(5e-3), { ...film, gap: 2e-4 }) / force).toBeCloseTo(1 / 8, 9);
    expect(stefanForce(discTorsion(5e-3), { ...film, speed: 2e-3 }) / force).toBeCloseTo(2, 9);
    expect(stefanForce(discTorsion(5e-3), { ...film, viscosity: 0.4 }) / force).toBeCloseTo(2, 9);
  });

  it('squeeze flow is the disc of the same area', () => {
    const film = { viscosity: 0.3, speed: 1e-3, gap: 1e-3 };
    const radius = 0.05;
    expect(squeezeForce(Math.PI * radius ** 2, 0.3, 1e-3, 1e-3)).toBeCloseTo(
      stefanForce(discTorsion(radius), film),
      9,
    );
  });
});

describe('vents', () => {
  it('drop less the wider they are, more the longer', () => {
    fc.assert(
      fc.property(diameter, length, resin, logRange(1e-9, 1e-4), (d, l, fluid, flow) => {
        const drop = (width: number, bore: number) =>
          ventPressureDrop(ventResistance(roundSection(width), bore, fluid), flow);
        expect(drop(d * 1.01, l)).toBeLessThan(drop(d, l));
        expect(drop(d, l * 1.01)).toBeGreaterThan(drop(d, l));
      }),
    );
  });

  it('carry the flow whose drop they have', () => {
    fc.assert(
      fc.property(diameter, length, resin, logRange(1e-9, 1e-4), (d, l, fluid, flow) => {
        const vent = ventResistance(roundSection(d), l, fluid);
        expect(ventFlow(vent, ventPressureDrop(vent, flow)) / flow).toBeCloseTo(1, 9);
      }),
    );
  });

  it('side by side share one drop, however unequal, resin or air', () => {
    const air = fc.constant({ viscosity: 1.81e-5, density: 1.204 });
    const one = fc
      .tuple(diameter, length, fc.oneof(resin, air))
      .map(([d, l, fluid]) => ventResistance(roundSection(d), l, fluid));
    fc.assert(
      fc.property(fc.array(one, { minLength: 1, maxLength: 8 }), logRange(1e-9, 1e-4), (vents, flow) => {
        const drop = parallelVents(vents, flow);
        const sum = vents.reduce((total, vent) => total + ventFlow(vent, drop), 0);
        expect(Math.abs(sum / flow - 1)).toBeLessThan(1e-9);
      }),
    );
  });

  it('equal ones drop as one with a share of the flow, and one more never hurts', () => {
    fc.assert(
      fc.property(diameter, length, resin, fc.integer({ min: 1, max: 9 }), (d, l, fluid, count) => {
        const vent = ventResistance(roundSection(d), l, fluid);
        const drop = parallelVents(new Array(count).fill(vent), 1e-5);
        expect(drop / ventPressureDrop(vent, 1e-5 / count)).toBeCloseTo(1, 9);
        expect(parallelVents(new Array(count + 1).fill(vent), 1e-5)).toBeLessThan(drop);
      }),
    );
  });

  it('none at all is no finite drop', () => {
    expect(parallelVents([], 1e-5)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('a half-printed mouth', () => {
  it('is the whole circle, half of it, none of it', () => {
    expect(circularSegment(7, 14)).toEqual(roundSection(14));
    expect(circularSegment(7, 20)).toEqual(roundSection(14));
    expect(circularSegment(7, 0).area).toBe(0);
    expect(circularSegment(7, -1).area).toBe(0);
    const half = circularSegment(7, 7);
    expect(half.area).toBeCloseTo((Math.PI * 49) / 2, 9);
    expect(half.hydraulicDiameter).toBeCloseTo((2 * Math.PI * 7) / (Math.PI + 2), 9);
  });

  it('has the area of its chords', () => {
    for (const height of [0.5, 3, 7, 9, 13.5]) {
      const steps = 100_000;
      let area = 0;
      for (let i = 0; i < steps; i++) {
        const y = ((i + 0.5) / steps) * height - 7;
        area += 2 * Math.sqrt(49 - y * y) * (height / steps);
      }
      expect(circularSegment(7, height).area / area).toBeCloseTo(1, 5);
    }
  });

  it.each([0.4, 1, 1.4])(
    'of height %f r carries by its hydraulic diameter what Poisson’s equation gives, within 4 percent',
    (height) => {
      const { area, hydraulicDiameter } = circularSegment(1, height);
      const byDiameter = (area * hydraulicDiameter ** 2) / 32;
      expect(Math.abs(byDiameter / ductFlow(height) - 1)).toBeLessThan(0.04);
    },
  );

  it('(the solver behind that finds the circle’s π/8)', () => {
    expect(ductFlow(2) / (Math.PI / 8)).toBeCloseTo(1, 2);
  });

  it('a thin one has the resistance of its parabolic profile, 35/36 of the hydraulic diameter’s', () => {
    const height = 1e-4;
    const { area, hydraulicDiameter } = circularSegment(1, height);
    const halfChord = Math.sqrt(2 * height);
    const exact = ((16 / 35) * 2 * halfChord * height ** 3) / 12;
    expect((area * hydraulicDiameter ** 2) / 32 / exact).toBeCloseTo(35 / 36, 3);
  });
});

/**
 * ∫u over the segment of a unit circle with ∇²u = −1 inside and u = 0 at its rim: finite differences with
 * the true distances to the rim (Shortley & Weller 1938), over-relaxed.
 */
function ductFlow(height: number): number {
  const cells = 80;
  const step = 2 / cells;
  const columns = cells + 1;
  const u = new Float64Array(columns * columns);
  const nodes: { n: number; east: number; west: number; north: number; south: number }[] = [];
  for (let j = 1; j < cells; j++) {
    for (let i = 1; i < cells; i++) {
      const [x, y] = [-1 + i * step, -1 + j * step];
      const [halfX, halfY] = [Math.sqrt(Math.max(0, 1 - y * y)), Math.sqrt(Math.max(0, 1 - x * x))];
      const north = Math.min(step, Math.min(halfY, height - 1) - y);
      if (x * x + y * y > 1 - 1e-9 || north < 1e-9) continue;
      const [east, west] = [Math.min(step, halfX - x), Math.min(step, halfX + x)];
      nodes.push({ n: j * columns + i, east, west, north, south: Math.min(step, halfY + y) });
    }
  }
  for (let sweep = 0; sweep < 600; sweep++) {
    for (const { n, east, west, north, south } of nodes) {
      const across = (u[n + 1]! / east + u[n - 1]! / west) / (east + west);
      const along = (u[n + columns]! / north + u[n - columns]! / south) / (north + south);
      u[n]! += 1.9 * ((across + along + 0.5) / (1 / (east * west) + 1 / (north * south)) - u[n]!);
    }
  }
  return nodes.reduce((sum, { n }) => sum + u[n]!, 0) * step * step;
}

describe('the suction of a cup', () => {
  const vents = fc.array(fc.tuple(diameter, length), { maxLength: 4 });

  it('never exceeds one atmosphere, and is at least either of its causes', () => {
    fc.assert(
      fc.property(demand, resin, vents, (cup, fluid, holes) => {
        const open = holes.map(([d, l]) => ventResistance(roundSection(d), l, fluid));
        const { total, squeeze, openings } = cupSuction(cup, open, fluid.viscosity);
        expect(total).toBeLessThanOrEqual(atmosphericCap(cup.area));
        expect(total).toBeGreaterThanOrEqual(Math.max(squeeze, openings));
        if (holes.length === 0) expect(total).toBe(atmosphericCap(cup.area));
      }),
    );
  });

  it('falls with a wider vent and a deeper cavity', () => {
    fc.assert(
      fc.property(demand, resin, diameter, length, (cup, fluid, d, l) => {
        const suction = (width: number, depth: number) =>
          cupSuction({ ...cup, depth }, [ventResistance(roundSection(width), l, fluid)], fluid.viscosity)
            .total;
        expect(suction(d * 1.1, cup.depth)).toBeLessThanOrEqual(suction(d, cup.depth));
        expect(suction(d, cup.depth * 1.1)).toBeLessThanOrEqual(suction(d, cup.depth));
      }),
    );
  });

  it('known cell by cell, is no less than with an open rim at the greatest depth, and no less than it is', () => {
    const cup = { area: 100e-4, floorArea: 100e-4, depth: 0.2e-3, speed: 1e-3 };
    const squeeze = (perSpeed: number) =>
      cupSuction({ ...cup, local: { perSpeed, greatestDepth: 0.25e-3 } }, [], 0.3).squeeze;
    // 917 N for a level floor 0.25 mm deep; the mean depth of 0.2 mm alone would be over the atmosphere.
    expect(squeeze(0)).toBeCloseTo(916.732, 2);
    expect(squeeze(950 / 0.3e-3)).toBeCloseTo(950, 9);
    expect(squeeze(2000 / 0.3e-3)).toBeCloseTo(1013.25, 6);
  });

  it('meets its limit with the diameter required for it, unless squeeze flow alone is over', () => {
    fc.assert(
      fc.property(demand, resin, length, logRange(0.05, 50), (cup, fluid, l, limit) => {
        const required = requiredDiameter(cup, l, fluid, limit);
        const squeeze = squeezeForce(cup.floorArea, fluid.viscosity, cup.speed, cup.depth);
        expect(required === null).toBe(squeeze >= limit);
        if (required === null || squeeze > 0.999 * limit || limit >= atmosphericCap(cup.area)) return;
        const vent = ventResistance(roundSection(required), l, fluid);
        expect(cupSuction(cup, [vent], fluid.viscosity).total / limit).toBeCloseTo(1, 6);
      }),
    );
  });
});

describe('trade facts (common practice, no source)', () => {
  const chest = { area: 100e-4, floorArea: 100e-4, depth: 5e-3, speed: 1e-3 };
  const fluid = { viscosity: 0.3, density: 1100 };
  const suction = (d: number) =>
    cupSuction(chest, [ventResistance(roundSection(d), 1.5e-3, fluid)], fluid.viscosity).total;

  it('a 2 mm vent does not free a 120 mm chest; one of 14 or 15 mm does', () => {
    expect(suction(2e-3)).toBeGreaterThan(100);
    expect(suction(14e-3)).toBeLessThan(1);
    expect(suction(15e-3)).toBeLessThan(suction(14e-3));
  });

  it('at a depth of half a millimetre no vent does', () => {
    expect(requiredDiameter({ ...chest, depth: 0.5e-3 }, 1.5e-3, fluid, 20)).toBeNull();
  });
});

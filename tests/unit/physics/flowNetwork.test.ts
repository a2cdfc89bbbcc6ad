import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roundSection } from '../../../src/core/physics/circularSegment.ts';
import { type FlowWay, nodePressures, wayFlow } from '../../../src/core/physics/flowNetwork.ts';
import { parallelVents } from '../../../src/core/physics/parallelVents.ts';
import { ventPressureDrop, ventResistance } from '../../../src/core/physics/ventResistance.ts';

const resin = { viscosity: 0.5, density: 1100 };
const hole = (diameterMm: number, lengthMm = 2) =>
  ventResistance(roundSection(diameterMm * 1e-3), lengthMm * 1e-3, resin);
const out = (from: number, diameterMm: number): FlowWay => ({ from, to: null, resistance: hole(diameterMm) });
const neck = (from: number, to: number, diameterMm: number): FlowWay => ({
  from,
  to,
  resistance: hole(diameterMm, 5),
});

describe('pressures in a network of lobes', () => {
  it('one lobe and a 4 mm vent: 4372.61 Pa at 10 ml/s (worked number, entrance, wall and inertia)', () => {
    expect(nodePressures(Float64Array.of(1e-5), [out(0, 4)])[0]).toBeCloseTo(4372.61, 1);
  });

  it('vents side by side are those of one void', () => {
    const pressure = nodePressures(Float64Array.of(1e-5), [out(0, 4), out(0, 2), out(0, 7)])[0]!;
    expect(pressure / parallelVents([hole(4), hole(2), hole(7)], 1e-5)).toBeCloseTo(1, 9);
  });

  it('two lobes in a row: the near one carries both flows, the far one adds the drop of the neck', () => {
    const pressures = nodePressures(Float64Array.of(6e-6, 4e-6), [out(0, 5), neck(0, 1, 3)]);
    expect(pressures[0]! / ventPressureDrop(hole(5), 1e-5)).toBeCloseTo(1, 9);
    expect((pressures[1]! - pressures[0]!) / ventPressureDrop(hole(3, 5), 4e-6)).toBeCloseTo(1, 9);
  });

  it('two equal necks between the lobes take half each', () => {
    const pressures = nodePressures(Float64Array.of(6e-6, 4e-6), [out(0, 5), neck(0, 1, 3), neck(1, 0, 3)]);
    expect((pressures[1]! - pressures[0]!) / ventPressureDrop(hole(3, 5), 2e-6)).toBeCloseTo(1, 9);
  });

  it('a lobe without a way out is without end, and hurts no other', () => {
    const pressures = nodePressures(Float64Array.of(1e-5, 1e-5, 1e-5), [out(0, 4), neck(1, 2, 9)]);
    expect(pressures[0]).toBeCloseTo(4372.61, 1);
    expect([...pressures.slice(1)]).toEqual([Infinity, Infinity]);
  });

  it('in any network what each lobe takes comes in, and no lobe is over the pressure outside', () => {
    // None, or one that is more than rounding: 1e-15 m³/s is a drop in a day.
    const flow = fc.oneof(fc.constant(0), fc.double({ min: 1e-15, max: 1e-5, noNaN: true }));
    const wide = fc.double({ min: 0.5, max: 20, noNaN: true });
    const network = fc.array(flow, { minLength: 1, maxLength: 8 }).chain((demand) => {
      const node = fc.nat(demand.length - 1);
      return fc.record({
        demand: fc.constant(Float64Array.from(demand)),
        outs: fc.array(fc.tuple(node, wide), { minLength: 1, maxLength: 4 }),
        necks: fc.array(fc.tuple(node, node, wide), { maxLength: 12 }),
      });
    });
    fc.assert(
      fc.property(network, ({ demand, outs, necks }) => {
        const ways = [
          ...outs.map(([n, d]) => out(n, d)),
          ...necks.filter(([a, b]) => a !== b).map(([a, b, d]) => neck(a, b, d)),
        ];
        const pressures = nodePressures(demand, ways);
        const total = demand.reduce((sum, value) => sum + value, 0);
        demand.forEach((asked, node) => {
          if (pressures[node] === Infinity) return;
          let found = 0;
          for (const way of ways) {
            if (way.from === node) found += wayFlow(way, pressures);
            else if (way.to === node) found -= wayFlow(way, pressures);
          }
          expect(Math.abs(found - asked)).toBeLessThanOrEqual(1e-9 * total);
          expect(pressures[node]).toBeGreaterThanOrEqual(-1e-6);
        });
      }),
      { numRuns: 300 },
    );
  });
});

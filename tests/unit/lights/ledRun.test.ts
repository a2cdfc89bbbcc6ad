import { describe, expect, it } from 'vitest';
import { bendLimitMm, mostFilled } from '../../../src/core/lights/bendLimit.ts';
import { gaugeDiameterMm, ledRun, ohmPerMetre } from '../../../src/core/lights/ledRun.ts';
import type { Leds } from '../../../src/core/lights/light.ts';

const leds: Leds = {
  count: 3,
  currentMa: 20,
  forwardV: 3.2,
  supplyV: 5,
  gauge: 24,
  sectionMm2: null,
  lengthM: 2,
  sizeMm: null,
};
const footM = 0.3048;
/** Ω per 1000 ft at 20 °C and diameter in inches: Floyd, Electric Circuit Fundamentals, as HyperPhysics tabulates it. */
const table: readonly (readonly [gauge: number, ohm: number, inch: number])[] = [
  [10, 0.9989, 0.10189],
  [14, 2.525, 0.06408],
  [18, 6.385, 0.0403],
  [22, 16.14, 0.02535],
  [24, 25.67, 0.0201],
  [28, 64.9, 0.01264],
  [30, 103.2, 0.01002],
  [36, 414.8, 0.005],
];

describe('copper wire', () => {
  it.each(table)('of AWG %s has %s Ω per 1000 ft at 20 °C, and is %s in thick', (gauge, ohm, inch) => {
    const cold = ohmPerMetre({ gauge, sectionMm2: null }) / (1 + 0.00393 * 55);
    expect(Math.abs((cold * 1000 * footM) / ohm - 1)).toBeLessThan(0.004);
    expect(Math.abs(gaugeDiameterMm(gauge) / 25.4 / inch - 1)).toBeLessThan(0.004);
  });
  // NEC chapter 9, table 8, uncoated, solid, Ω/kFT at 75 °C; from memory.
  it.each([
    [18, 7.77],
    [16, 4.89],
    [14, 3.07],
    [12, 1.93],
  ])('of AWG %s has %s Ω per 1000 ft at 75 °C', (gauge, ohm) => {
    expect(Math.abs((ohmPerMetre({ gauge, sectionMm2: null }) * 1000 * footM) / ohm - 1)).toBeLessThan(0.005);
  });
  // IEC 60228, class 5, greatest Ω/km at 20 °C; from memory.
  it.each([
    [0.5, 39.0],
    [0.75, 26.0],
    [1, 19.5],
    [1.5, 13.3],
  ])('of %s mm² has %s Ω/km at most, and is not told much worse', (sectionMm2, ohm) => {
    const cold = (1000 * ohmPerMetre({ gauge: null, sectionMm2 })) / (1 + 0.00393 * 55);
    expect(cold / ohm).toBeGreaterThanOrEqual(1);
    expect(cold / ohm).toBeLessThan(1.04);
  });
});

describe('a run of LEDs', () => {
  const run = ledRun(leds);
  it('takes the current of all, and loses 2·L·R·I', () => {
    expect(run.currentA).toBeCloseTo(0.06, 12);
    const ohm = (25.67 / 1000 / footM) * 2 * (1 + 0.00393 * 55);
    expect(run.wireOhm).toBeCloseTo(ohm, 2);
    expect(run.dropV).toBeCloseTo(2 * ohm * 0.06, 3);
    expect(run.arrivesV).toBeCloseTo(5 - run.dropV, 12);
    expect(run.ledW).toBeCloseTo(0.192, 12);
    expect(run.powerW).toBeCloseTo(0.3, 12);
    expect(run.supplyA).toBeCloseTo(0.075, 12);
  });
  // 404.01 and 100.5 circular mils (the same table) at 700 an ampere.
  it.each([
    [24, 0.577],
    [30, 0.1436],
  ])('by wires of AWG %s may carry %s A', (gauge, ampere) => {
    expect(Math.abs(ledRun({ ...leds, gauge }).wireA / ampere - 1)).toBeLessThan(0.005);
  });
});

it('bends by the data sheet, else by rule, and fills a tube in part', () => {
  const fibre = { kind: 'fibre', diameter: 1, count: 1, bendRadius: null } as const;
  expect([
    bendLimitMm(fibre),
    bendLimitMm({ ...fibre, kind: 'cable' }),
    bendLimitMm({ ...fibre, bendRadius: 9 }),
  ]).toEqual([15, 5, 9]);
  expect([1, 2, 3, 9].map(mostFilled)).toEqual([0.53, 0.31, 0.4, 0.4]);
});

import { expect, test } from 'vitest';
import { drainDiameter } from '../../../src/core/drainage/drainDiameter.ts';

const resin = { viscosity: 0.5, density: 1100 };

test('a column of 100 cm² and 100 mm: 5 mm take 421 s, 8 mm 96 s (physics.md 2.4), so 6 mm it is', () => {
  expect(drainDiameter(1e6, 100, 2, resin)).toBe(6);
});

test('grows with the chamber and with the viscosity, and has an end', () => {
  expect(drainDiameter(5e4, 50, 1.5, resin)).toBeLessThan(6);
  expect(drainDiameter(1e6, 100, 2, { ...resin, viscosity: 0.05 })).toBeLessThan(6);
  expect(drainDiameter(1e9, 100, 2, resin)).toBe(20);
});

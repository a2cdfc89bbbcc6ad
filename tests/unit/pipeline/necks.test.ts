import { describe, expect, it } from 'vitest';
import { dumbbell } from '../chambers/bodies.ts';
import { measureOne } from './measureOne.ts';

const wall = 1.5;
/** Of the hollow: two balls and the bore between them, mm. */
const [first, second, bore, apart] = [12, 9, 1.5, 6];
const rim = (radius: number, hole: number): number => Math.sqrt(radius * radius - hole * hole);
/** The balls' middles stand as far apart as outside; within, their surfaces leave more between them. */
const middles = rim(first + wall, bore + wall) + apart + rim(second + wall, bore + wall);
const boreLength = middles - rim(first, bore) - rim(second, bore);

/** Sampson 1891 and Hagen–Poiseuille, and the orifice, Pa. */
function drop(d: number, length: number, flow: number): number {
  const r = d / 2;
  const orifice = 0.62 * Math.PI * r * r;
  return 2 * flow * (3 / r ** 3 + (8 * length) / (Math.PI * r ** 4)) + 0.5 * 1050 * (flow / orifice) ** 2;
}

describe('a hollow of two balls and a bore, side by side', () => {
  const body = dumbbell(first + wall, second + wall, bore + wall, apart);
  const kit = `machine: { plate: [192, 140], height: 200, layer: 0.05, resin-depth: 40, lift: { distance: 7, up: 60, down: 150 } }
resins: { slate: { viscosity: 2000, liquid-density: 1.05 } }
defaults: { wall: ${wall}, resin: slate }`;
  /** Height of the axis; the film 4 mm past it, where the bore is whole and both balls are wide. */
  const axis = 5 + first + wall;
  const layer = Math.round((axis + 4) / 0.05) - 1;
  const discOf = (radius: number) => Math.PI * (radius * radius - 16) * 1e-6;

  it.each([
    ['first', first, second, 0],
    ['second', second, first, middles],
  ])(
    'with its vent under the %s ball pulls by the bore beyond',
    async (_, near, far, along) => {
      // The turn brings the source's +x down to the plate.
      const keys = `turn: [0, 90, 0], raise: 5, vents: [{ at: [${near + wall}, 0, ${along}], diameter: 6 }]`;
      const { facts, suction } = await measureOne(body, keys, kit);
      const [nearArea, farArea] = [discOf(near), discOf(far)];
      expect(facts.loads.cupAreaMm2[layer]! * 1e-6).toBeCloseTo(nearArea + farArea, 5);
      const vent = drop(6e-3, wall * 1e-3, (nearArea + farArea) * 1e-3);
      const neck = drop(2 * bore * 1e-3, boreLength * 1e-3, farArea * 1e-3);
      const expected = vent * nearArea + (vent + neck) * farArea;
      // The squeeze is a thousandth of it; the bore's friction goes with the fourth power of its measured width.
      expect(Math.abs(suction(layer) / expected - 1)).toBeLessThan(0.08);
      // As one void it would be less than a third of it.
      expect(vent * (nearArea + farArea)).toBeLessThan(expected / 3);
    },
    60_000,
  );
});

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import type { Hands } from '../../../src/pipeline/hands.ts';
import { measurePart } from '../../../src/pipeline/measurePart.ts';
import { sharedTasks } from '../../../src/pipeline/sharedTasks.ts';
import { noShelf } from '../../../src/pipeline/warmShelf.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { toStl } from '../../shapes.ts';
import { dumbbell } from '../chambers/bodies.ts';

const kit = mkdtempSync(join(tmpdir(), 'kitwright-necks-'));
afterAll(() => rmSync(kit, { recursive: true, force: true }));

const wall = 1.5;
/** Of the hollow: two balls and the bore between them, mm. */
const [first, second, bore, apart] = [12, 9, 1.5, 6];
const hands: Hands = {
  share: async (task, parts, interrupter) =>
    parts.map((part) => sharedTasks[task](part as never, interrupter)) as never,
};

const rim = (radius: number, hole: number): number => Math.sqrt(radius * radius - hole * hole);
/** The balls' middles stand as far apart as outside; within, their surfaces leave more between them. */
const middles = rim(first + wall, bore + wall) + apart + rim(second + wall, bore + wall);
const boreLength = middles - rim(first, bore) - rim(second, bore);

/** The two balls lie side by side along x, the axis level; a vent of 6 mm under the first or the second. */
async function measured(under: 'first' | 'second'): Promise<PartFacts> {
  // In the body's own axes: the balls stand on z, turned about y so that z becomes x; plate-side is +x of the source.
  const at = under === 'first' ? [first + wall, 0, 0] : [second + wall, 0, middles];
  const parsed = parseManifest(`kit: The Lamplighter
scale: { factor: 1 }
machine: { plate: [192, 140], height: 200, layer: 0.05, resin-depth: 40, lift: { distance: 7, up: 60, down: 150 } }
film: { peel: 10 }
resins: { slate: { viscosity: 2000, liquid-density: 1.05 } }
defaults: { wall: ${wall}, resin: slate }
parts:
  lantern: { file: parts/lantern.stl, turn: [0, 90, 0], raise: 5, vents: [{ at: [${at.join(', ')}], diameter: 6 }] }
`).manifest!;
  const request = partRequestOf(parsed, parsed.parts[0]!, kit, false)!;
  const context = { stage: () => uninterrupted, hands, warm: noShelf };
  const result = await measurePart(request, context, { keepMeshes: false, hashAgain: false });
  if (!result.ok) throw new Error(result.error.message);
  return result.value.facts;
}

beforeAll(() => {
  mkdirSync(join(kit, 'parts'));
  writeFileSync(
    join(kit, 'parts/lantern.stl'),
    toStl(dumbbell(first + wall, second + wall, bore + wall, apart)),
  );
});

/** Sampson 1891 and Hagen–Poiseuille, and the orifice, Pa. */
function drop(d: number, length: number, flow: number): number {
  const r = d / 2;
  const orifice = 0.62 * Math.PI * r * r;
  return 2 * flow * (3 / r ** 3 + (8 * length) / (Math.PI * r ** 4)) + 0.5 * 1050 * (flow / orifice) ** 2;
}

describe('a hollow of two balls and a bore', () => {
  /** Height of the axis; the film 4 mm past it, where the bore is whole and both balls are wide. */
  const axis = 5 + first + wall;
  const layer = Math.round((axis + 4) / 0.05) - 1;
  const discOf = (radius: number) => Math.PI * (radius * radius - 16) * 1e-6;

  it.each<['first' | 'second', number, number]>([
    ['first', first, second],
    ['second', second, first],
  ])(
    'with its vent under the %s ball pulls by the bore beyond',
    async (under, near, far) => {
      const { loads } = await measured(under);
      const suction = loads.pullN[layer]! - 0.01 * loads.areaMm2[layer]!;
      const [nearArea, farArea] = [discOf(near), discOf(far)];
      expect(loads.cupAreaMm2[layer]! * 1e-6).toBeCloseTo(nearArea + farArea, 5);
      const vent = drop(6e-3, wall * 1e-3, (nearArea + farArea) * 1e-3);
      const neck = drop(2 * bore * 1e-3, boreLength * 1e-3, farArea * 1e-3);
      const expected = vent * nearArea + (vent + neck) * farArea;
      // The squeeze is a thousandth of it; the bore's friction goes with the fourth power of its measured width.
      expect(Math.abs(suction / expected - 1)).toBeLessThan(0.08);
      // As one void it would be less than a third of it.
      expect(vent * (nearArea + farArea)).toBeLessThan(expected / 3);
    },
    60_000,
  );
});

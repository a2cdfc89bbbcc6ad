import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { Footprint } from '../../../src/core/plates/footprint.ts';
import { layOutPlate } from '../../../src/core/plates/layOutPlate.ts';
import { freePlateNames, withPlates } from '../../../src/core/plates/platesProposal.ts';
import { type PlateCandidate, proposePlates } from '../../../src/core/plates/proposePlates.ts';
import { random } from '../../shapes.ts';
import { blocks, disc, square } from './shadows.ts';

const candidate = (
  name: string,
  footprint: Footprint,
  layers: number,
  pull: number | number[] = 1,
): PlateCandidate => ({
  name,
  footprint,
  layers,
  pullN: typeof pull === 'number' ? new Float64Array(layers).fill(pull) : Float64Array.from(pull),
});
const propose = (parts: readonly PlateCandidate[], pullLimitN = 100) =>
  proposePlates({ room: [100, 50], gapMm: 3, pullLimitN, parts }, uninterrupted);

describe('plates that are proposed', () => {
  it('put the tallest together, as many as find room', () => {
    // Two squares of 45 fill a plate of 100 × 50 as 45 + 3 + 45.
    const parts = ['low', 'high', 'lower', 'higher'].map((name, n) =>
      candidate(name, square(45), [30, 90, 20, 100][n]!),
    );
    expect(propose(parts)).toEqual({
      plates: [
        ['high', 'higher'],
        ['low', 'lower'],
      ],
      left: [],
    });
  });

  it('fill what a tall part leaves with low ones', () => {
    const parts = [
      candidate('a', square(45), 90),
      candidate('b', blocks([0, 0, 90, 45]).footprint, 80),
      candidate('c', disc(20), 10),
    ];
    expect(propose(parts).plates).toEqual([['a', 'c'], ['b']]);
  });

  it('keep the pull of every layer within the limit, layer by layer', () => {
    const parts = [
      candidate('a', square(20), 3, [60, 10, 10]),
      candidate('b', square(20), 3, [60, 10, 10]),
      candidate('c', square(20), 3, [40, 90, 80]),
    ];
    expect(propose(parts).plates).toEqual([['a', 'c'], ['b']]);
    expect(propose(parts, 160).plates).toEqual([['a', 'b', 'c']]);
  });

  it('leave out what fits on none and what pulls too much alone, and say which', () => {
    const parts = [
      candidate('wide', square(60), 5),
      candidate('strong', square(20), 2, [101, 1]),
      candidate('fine', square(20), 5, 100),
    ];
    expect(propose(parts)).toEqual({
      plates: [['fine']],
      left: [
        { part: 'wide', why: 'room' },
        { part: 'strong', why: 'pull' },
      ],
    });
    expect(propose([])).toEqual({ plates: [], left: [] });
  });

  it('can be laid out, have every part once and pull within the limit: seeds 1 to 12', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const next = random(seed);
      const parts = Array.from({ length: 9 }, (_, n) => {
        const layers = 1 + Math.floor(20 * next());
        const footprint = blocks([0, 0, 8 + 30 * next(), 8 + 30 * next()]).footprint;
        return candidate(
          `p${n}`,
          footprint,
          layers,
          Array.from({ length: layers }, () => 60 * next()),
        );
      });
      const { plates, left } = propose(parts);
      expect([...plates.flat(), ...left].sort(), `seed ${seed}`).toEqual(parts.map(({ name }) => name));
      for (const names of plates) {
        const own = names.map((name) => parts.find((part) => part.name === name)!);
        const task = {
          room: [100, 50] as const,
          gapMm: 3,
          parts: own.map(({ footprint }) => ({ footprint, at: null, spin: null })),
        };
        expect(layOutPlate(task, uninterrupted).places.includes(null), `seed ${seed}`).toBe(false);
        for (let layer = 0; layer < 21; layer++) {
          expect(
            own.reduce((sum, { pullN }) => sum + (pullN[layer] ?? 0), 0),
            `seed ${seed}`,
          ).toBeLessThanOrEqual(100);
        }
      }
      const tallest = plates.map((names) =>
        Math.max(...names.map((name) => parts.find((one) => one.name === name)!.layers)),
      );
      expect(tallest).toEqual([...tallest].sort((a, b) => b - a));
    }
  });
});

describe('in the manifest', () => {
  const text = 'kit: x # mine\nparts:\n  torso: { file: a.stl } # first\n\n# the end\n';

  it('stand behind what is there, line by line, and change nothing else', () => {
    const changed = withPlates(text, [
      { name: 'plate-1', parts: ['torso', 'raised arm'] },
      { name: 'plate-2', parts: ['head'] },
    ]);
    expect(changed).toBe(
      'kit: x # mine\nparts:\n  torso: { file: a.stl } # first\nplates:\n  plate-1: { parts: [torso, raised arm] }\n  plate-2: { parts: [head] }\n\n# the end\n',
    );
    expect(withPlates(changed!, [{ name: 'plate-3', parts: ['cap'] }])).toContain(
      '  plate-2: { parts: [head] }\n  plate-3: { parts: [cap] }\n',
    );
    expect(withPlates(text, [])).toBe(text);
    expect(withPlates('kit: [', [{ name: 'plate-1', parts: [] }])).toBeNull();
  });

  it('have names that nothing else has', () => {
    const { manifest } = parseManifest(
      'kit: x\nparts: { Plate-3-plate: { file: a.stl } }\nplates: { PLATE-1: { parts: [] }, plate-4: { parts: [] } }\n',
    );
    expect(freePlateNames(manifest!, 3)).toEqual(['plate-2', 'plate-5', 'plate-6']);
  });
});

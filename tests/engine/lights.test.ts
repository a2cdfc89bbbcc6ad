import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import type { ReadyReport } from '../../src/protocol/engineApi.ts';
import { box, toStl, transformed } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** Two cubes of 40 mm side by side; half a circle of 30 mm from the top of the one through the joint to that of the other. */
const arc = Array.from({ length: 19 }, (_, n) => {
  const angle = (n * Math.PI) / 18;
  return [-30 * Math.cos(angle), 0, 30 - 30 * Math.sin(angle)].map(
    (along) => Math.round(along * 1000) / 1000,
  );
});
/** Of it, what lies under the tops at z = 20 on either side. */
const insideMm = 30 * (Math.PI / 2 - Math.asin(10 / 30));
const kit = writeKit(
  join(folder.path, 'kit'),
  `${manifestHead}lights:
  wire:
    path: ${JSON.stringify(arc)}
    diameter: 5
    through: [left, right]
    carries: { fibre: 1.5 }
    leds: { count: 2, current: 20, forward: 3, supply: 5, gauge: 28, length: 3 }
parts:
  left: { file: parts/left.stl, wall: solid }
  right: { file: parts/right.stl, wall: solid }
`,
  {
    'parts/left.stl': toStl(transformed(box(40), { shift: [-20, 0, 0] })),
    'parts/right.stl': toStl(transformed(box(40), { shift: [20, 0, 0] })),
  },
);

describe('a light through two parts', () => {
  it('is in the report: its passes meet at the joint, its bend and its wires', async () => {
    const run = await kitwright(['check', kit, '--json']);
    const { lights, findings } = JSON.parse(run.out) as CheckReport;
    const { wire } = lights;
    expect(findings.filter(({ code }) => /^(light|led)/.test(code))).toEqual([]);
    expect(wire!.length_mm / (30 * Math.PI)).toBeCloseTo(1, 2);
    expect(wire!.inside_bend_mm! / 27.5).toBeGreaterThan(0.97);
    expect(wire!.inside_bend_mm! / 27.5).toBeLessThan(1.001);
    expect(wire!.bend_limit_mm).toBe(22.5);
    const [left, right] = wire!.passes;
    expect([left!.part, right!.part]).toEqual(['left', 'right']);
    expect(left!.to_mm - left!.from_mm).toBeCloseTo(insideMm, 1);
    expect(right!.to_mm - right!.from_mm).toBeCloseTo(insideMm, 1);
    expect(right!.from_mm).toBeCloseTo(left!.to_mm, 2);
    expect(right!.enters_source![0]).toBeCloseTo(0, 2);
    expect(right!.leaves_source![2]).toBeCloseTo(20, 2);
    // With the mouths at top and joint left out.
    expect(left!.wall_mm! > 1.2 && right!.wall_mm! > 1.2).toBe(true);
    expect(wire!.leds).toMatchObject({ current_a: 0.04, supply_a: 0.05, led_w: 0.12 });
    // 64.9 Ω per 1000 ft at 20 °C, warmed to 75 °C.
    expect(wire!.leds!.drop_v).toBeCloseTo(2 * 3 * (64.9 / 304.8) * (1 + 0.00393 * 55) * 0.04, 2);
    const human = (await kitwright(['check', kit])).out;
    expect(human).toContain('light wire: through left, right; 94 mm');
    expect(human).toContain('Low voltage only in the figure');
  });

  it('is cut into both, the same each time, with the caution beside', async () => {
    const written: ReadyReport[] = [];
    for (const out of ['one', 'two']) {
      const run = await kitwright([
        'make-ready',
        kit,
        '--out',
        join(folder.path, out),
        '--even-with-errors',
        '--json',
      ]);
      expect(run.code).toBe(0);
      written.push(JSON.parse(run.out) as ReadyReport);
    }
    const [one, two] = written;
    expect(one!.written.map(({ sha256 }) => sha256)).toEqual(two!.written.map(({ sha256 }) => sha256));
    for (const { notes } of one!.written) expect(notes.join(' ')).toContain('Low voltage only');
    for (const { volume_ml } of one!.written)
      expect(Math.abs((64 - volume_ml) / ((Math.PI * 6.25 * insideMm) / 1000) - 1)).toBeLessThan(0.005);
  });
});

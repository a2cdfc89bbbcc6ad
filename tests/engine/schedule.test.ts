import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import type { ScheduleReport } from '../../src/core/schedule/scheduleReport.ts';
import { box, toStl } from '../shapes.ts';
import { kitwright, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** A solid cube of 40 mm, 64 ml cured: 400 layers of 0.1 mm, 36 s each. Liquid as dense as cured. */
const manifest = `kit: The Lamplighter
scale: { factor: 1 }
machine: { plate: [192, 120], height: 200, layer: 0.1, vat: 30, resin-depth: 15, least-resin-depth: 5,
  lift: { distance: 10, up: 60, down: 60, wait: 6 }, exposure: { base: 10, base-layers: 0, normal: 10 } }
resins: { slate: { density: 1.1, liquid-density: 1.1, on-hand: 500, price: 50, waste: 25 } }
defaults: { wall: solid, resin: slate }
parts: { cube: { file: parts/cube.stl, count: 2 }, lost: { file: parts/lost.stl } }
`;
const kit = writeKit(join(folder.path, 'kit'), manifest, { 'parts/cube.stl': toStl(box(40)) });
const schedule = (...args: string[]) => kitwright(['schedule', kit, ...args]);

describe('schedule', () => {
  it('says hours, resin, cost and stock of each print, and what is left out', async () => {
    const run = await schedule('--from', '2026-11-30T09:30', '--json');
    expect(run.code).toBe(0);
    const report = JSON.parse(run.out) as ScheduleReport;
    const row = ({ start, end, used_ml, cost, left_ml }: ScheduleReport['prints'][number]) => [
      start,
      end,
      used_ml,
      cost,
      left_ml,
    ];
    expect(report.prints.map(row)).toEqual([
      ['2026-11-30T09:30', '2026-11-30T13:30', 80, 4, 420],
      ['2026-11-30T14:15', '2026-11-30T18:15', 80, 4, 340],
    ]);
    expect(report.left_out).toEqual([{ name: 'lost', why: 'it was not measured' }]);
    const { parts } = JSON.parse((await kitwright(['check', kit, '--json'])).out) as CheckReport;
    expect(report.prints[0]!.liquid_ml).toBeCloseTo(parts['cube']!.print.liquid_ml, 1);
  });

  it('tops up in time: 64 ml less the 20 to spare are three pours', async () => {
    const report = JSON.parse((await schedule('--json')).out) as ScheduleReport;
    const [first] = report.prints;
    expect(first!.start).toBeNull();
    expect(first!.top_ups.map(({ pour_ml }) => pour_ml)).toEqual([14.7, 14.7, 14.7]);
    // 0.16 ml a layer: 20 ml last 125 layers, and before the vat of the check says the same.
    const { parts } = JSON.parse((await kitwright(['check', kit, '--json'])).out) as CheckReport;
    expect(first!.top_ups[0]!.by_layer).toBe(parts['cube']!.print.vat_low_layer);
    expect(Math.abs(first!.top_ups[0]!.by_layer - 125)).toBeLessThanOrEqual(1);
    expect(Math.abs(first!.top_ups[0]!.from_layer - 92)).toBeLessThanOrEqual(1);
  });

  it('is a document with the caution, and the same each time', async () => {
    const { out } = await schedule();
    expect(out).toContain('# Resin and time: The Lamplighter');
    expect(out).toContain('| cube 1 of 2 | slate | day 1, 08:00 | day 1, 12:00 |');
    expect(out).toContain('Pause the machine and wait until the plate stands still');
    expect((await schedule()).out).toBe(out);
  });

  it.each(['tomorrow', '2026-02-30', '2026-11-30T25:00', '30.11.2026'])('refuses --from %s', async (text) => {
    const run = await schedule('--from', text);
    expect([run.code, run.err]).toEqual([2, expect.stringContaining('--from takes a day and a time')]);
  });
});

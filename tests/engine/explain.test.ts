import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import type { PartExplained } from '../../src/protocol/engineApi.ts';
import { box, sphere, toStl } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** A globe that breathes through a vent of 2 mm only, at its pole: its suction goes by what flows through that. */
const kit = writeKit(
  join(folder.path, 'kit'),
  `${manifestHead}parts:
  globe:
    file: parts/globe.stl
    raise: 5
    vents: [{ at: [0, 0, -20], diameter: 2, depth: 5 }]
    drains: [{ at: [-14, 0, 14], diameter: 6, depth: 5 }]
  block: { file: parts/block.stl, wall: solid }
  missing: { file: parts/nowhere.stl }
  unnamed: { wall: solid }
`,
  { 'parts/globe.stl': toStl(sphere(20, 64)), 'parts/block.stl': toStl(box(10)) },
);

const explain = (...args: string[]) => kitwright(['explain', kit, ...args]);

describe('explain', () => {
  it('prints the figures and findings that the check tells', async () => {
    const { parts, findings } = JSON.parse((await kitwright(['check', kit, '--json'])).out) as CheckReport;
    const run = await explain('--part', 'globe');
    const own = findings.filter(({ part }) => part === 'globe');
    expect(own.length).toBeGreaterThan(0);
    expect(run.code).toBe(own.some(({ severity }) => severity === 'error') ? 1 : 0);
    const { print, mesh } = parts['globe']!;
    expect(run.out).toContain(`| Greatest pull | ${print.peak_pull_n} N, layer ${print.peak_pull_layer} |`);
    expect(run.out).toContain(`| Volume | ${mesh.volume_ml} ml |`);
    expect(run.out.match(/^### (error|warning|info) `[a-z-]+`/gm)).toEqual(
      own.map(({ severity, code }) => `### ${severity} \`${code}\``),
    );
  });

  it('finds by measuring again what would change most, and leaves the kit’s results as they are', async () => {
    const before = (await kitwright(['check', kit, '--json'])).out;
    const run = await explain('--part', 'globe');
    const rows = run.out
      .split('## What would change')[1]!
      .match(/^\| .*$/gm)!
      .slice(2);
    expect(rows[0]).toMatch(/^\| as it stands \|/);
    // A sphere on its pole is the same however it is turned about it; a wider vent is not.
    expect(rows.some((row) => row.startsWith('| vent 0 of 3 mm instead of 2 mm |'))).toBe(true);
    const pullOf = (start: string) =>
      Number(
        rows
          .find((row) => row.startsWith(start))!
          .split(' | ')
          .at(-1)!
          .split(' ')[0],
      );
    expect(pullOf('| lift at 30 mm/min')).toBeLessThan(pullOf('| as it stands'));
    expect((await kitwright(['check', kit, '--json'])).out).toBe(before);
    expect((await explain('--part', 'globe', '--no-cache')).out).toBe(run.out);
  });

  it('judges a change as thoroughly as the part as it stands', async () => {
    const narrow = writeKit(
      join(folder.path, 'narrow'),
      `${manifestHead}limits: { rinse-way: 40 }
parts:
  globe:
    file: parts/globe.stl
    vents: [{ at: [0, 0, -20], diameter: 2, depth: 5 }]
    drains: [{ at: [-14, 0, 14], diameter: 6, depth: 5 }]
`,
      { 'parts/globe.stl': toStl(sphere(20, 64)) },
    );
    const { out } = await kitwright(['explain', narrow, '--part', 'globe']);
    expect(out).toContain('### warning `hard-to-rinse`');
    const rows = out.split('## What would change')[1]!.match(/^\| (as it stands|a film|vent 0).*$/gm)!;
    const counts = rows.map((row) => row.split(' | ').slice(2, 4));
    expect(counts.length).toBeGreaterThan(1);
    for (const count of counts) expect(count).toEqual(counts[0]);
  });

  it('explains a solid part without a finding', async () => {
    const run = await explain('--part', 'block', '--json');
    expect(run.code).toBe(0);
    const { part, ok, markdown } = JSON.parse(run.out) as PartExplained;
    expect([part, ok]).toEqual(['block', true]);
    expect(markdown).toContain('| Wall | solid |');
    expect(markdown).toContain('**Nothing found.**');
  });

  it.each([
    [[], 'option-invalid'],
    [['--part', 'hat'], 'part-unknown'],
    [['--part', 'missing'], 'file-missing'],
    [['--part', 'unnamed'], 'manifest-unreadable'],
  ])('with %j it cannot run: %s', async (args, code) => {
    const run = await explain(...args, '--json');
    expect(run.code).toBe(2);
    expect(JSON.parse(run.out)).toMatchObject({ ok: false, error: { code } });
  });
});

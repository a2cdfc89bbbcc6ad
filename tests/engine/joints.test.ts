import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import { box, toStl, transformed } from '../shapes.ts';
import { socket } from '../unit/joints/bodies.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** A key 10 mm wide, 8 mm deep in a socket that leaves 0.2 mm on each side; the block stands on its side. */
const manifest = `${manifestHead.replace('assembled: no\n', '')}parts:
  key:
    file: parts/key.stl
    wall: solid
  block:
    file: parts/block.stl
    turn: [90, 0, 0]
    wall: solid
`;
let kit: string;

beforeAll(() => {
  kit = writeKit(join(folder.path, 'kit'), manifest, {
    'parts/key.stl': toStl(transformed(box([10, 10, 12]), { shift: [0, 0, -2] })),
    'parts/block.stl': toStl(socket(20, 14, 10.4, 8.5)),
  });
});

const check = async (): Promise<CheckReport> =>
  JSON.parse((await kitwright(['check', kit, '--json'])).out) as CheckReport;

const edit = (from: string, to: string): void => {
  const path = join(kit, 'kit.yaml');
  const text = readFileSync(path, 'utf8');
  expect(text).toContain(from);
  writeFileSync(path, text.replace(from, to));
};

/** The kept joints, by file and by when each was written. */
const kept = (): string[] => {
  const cache = join(kit, '.kitwright/cache');
  return readdirSync(cache)
    .filter((name) => name.startsWith('joint-'))
    .map((name) => `${name} ${statSync(join(cache, name)).ino}`);
};

describe('joints of a kit', () => {
  it('are told with the spread of their gap', async () => {
    const { joints, findings } = await check();
    expect(joints).toHaveLength(1);
    expect(joints[0]).toMatchObject({
      parts: ['key', 'block'],
      plug: 'key',
      socket: 'block',
      overlap: null,
      off_source: [0, 0, 1],
      caught: 0,
      slide: { q05_mm: 0.2, median_mm: 0.2, q95_mm: 0.2 },
    });
    expect(findings.filter(({ code }) => code.startsWith('joint-'))).toEqual([]);
  });

  it('are not measured again for a pose, a wall or an opening', async () => {
    const before = kept();
    expect(before).toHaveLength(1);
    edit('turn: [90, 0, 0]', 'turn: [45, 10, 0]\n    vents: [{ at: [10, 0, -5], diameter: 3, depth: 2 }]');
    const { joints } = await check();
    expect(joints[0]!.slide!.median_mm).toBe(0.2);
    expect(kept()).toEqual(before);
  });

  it('bind at a smaller factor, since a printer’s gap does not scale', async () => {
    edit('factor: 1', 'factor: 0.4');
    const { joints, findings } = await check();
    expect(joints[0]!.slide!.median_mm).toBeCloseTo(0.08, 3);
    const told = findings.filter(({ code }) => code.startsWith('joint-'));
    expect(told).toMatchObject([{ code: 'joint-tight', part: 'block', measured: 0.08, limit: 0.1 }]);
    // Somewhere on the socket’s side, in the sculpt’s own units.
    expect(Math.max(...told[0]!.at_source!.slice(0, 2).map(Math.abs))).toBeGreaterThan(4.9);
    edit('factor: 0.4', 'factor: 1');
  });

  it('have a table of their own', async () => {
    const run = await kitwright(['joints', kit]);
    expect(run.code).toBe(0);
    expect(run.out).toContain('key in block');
    expect(run.out).toMatch(/sliding faces +3\d\d mm² +0\.20 +0\.20 +0\.20/);
    const told = JSON.parse((await kitwright(['joints', kit, '--json'])).out) as CheckReport;
    expect(told.joints).toHaveLength(1);
    expect(told.findings).toEqual([]);
  });

  it('are not looked for where the files do not stand together', async () => {
    edit('parts:', 'assembled: no\nparts:');
    const { joints } = await check();
    expect(joints).toEqual([]);
    edit('assembled: no\nparts:', 'parts:');
  });
});

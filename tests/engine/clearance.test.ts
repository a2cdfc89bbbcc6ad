import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import type { ReadyReport } from '../../src/protocol/engineApi.ts';
import { box, toStl, transformed } from '../shapes.ts';
import { socket } from '../unit/joints/bodies.ts';
import { assembledHead, kitwright, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** A key 6 mm square, 5 mm deep in a socket that leaves 0.05 mm all round; the block lies at an odd angle. */
const manifest = `${assembledHead}parts:
  key:
    file: parts/key.stl
    wall: solid
  block:
    file: parts/block.stl
    turn: [17, -31, 52]
    wall: solid
joints:
  seat: { parts: [key, block], clearance: 0.2 }
`;
let kit: string;

beforeAll(() => {
  kit = writeKit(join(folder.path, 'kit'), manifest, {
    'parts/key.stl': toStl(transformed(box([6, 6, 8]), { shift: [0, 0, -1] })),
    'parts/block.stl': toStl(socket(14, 10, 6.1, 5.05)),
  });
});

const json = async <T>(...args: string[]): Promise<T> =>
  JSON.parse((await kitwright([...args, kit, '--json'])).out) as T;

/** Nothing holds the block at its odd angle. */
const makeReady = (...args: string[]): Promise<ReadyReport> =>
  json('make-ready', '--even-with-errors', ...args);

/** With another text for what is decided about the joint. */
const decide = (seat: string): void =>
  writeFileSync(join(kit, 'kit.yaml'), manifest.replace('{ parts: [key, block], clearance: 0.2 }', seat));

const bytesOf = (name: string): Buffer => readFileSync(join(kit, 'ready', name));
const volumeOf = ({ written }: ReadyReport, part: string): number =>
  written.find((file) => file.part === part)!.volume_ml * 1000;
const notesOf = ({ written }: ReadyReport, part: string): string =>
  written.find((file) => file.part === part)!.notes.join(' ');

const blockMm3 = 14 * 14 * 10 - 6.1 * 6.1 * 5.05;
/** The key below the block's rim, grown by r: sides, end and rounded edges (Steiner). */
const grownKey = (r: number): number =>
  5 * (36 + 24 * r + Math.PI * r * r) + 36 * r + 6 * Math.PI * r * r + (2 / 3) * Math.PI * r ** 3;

describe('a joint with a clearance', () => {
  it('is judged as it comes out, and says what is cut', async () => {
    const { joints, findings, assumptions } = await json<CheckReport>('check');
    expect(joints[0]).toMatchObject({
      slide: { median_mm: 0.05 },
      clearance: { clearance_mm: 0.2, gives: 'block', cut_mm: 0.15, slide: { q05_mm: 0.2, q95_mm: 0.2 } },
    });
    expect(findings.filter(({ code }) => code.startsWith('joint-'))).toEqual([]);
    expect(assumptions.find(({ key }) => key === 'joints.seat.give')).toMatchObject({ unit: '' });
    const table = await kitwright(['joints', kit]);
    expect(table.out).toContain('clearance      0.20 mm: make-ready cuts up to 0.15 mm from block');
  });

  it('binds without one', async () => {
    decide('{ parts: [key, block], pin: steel }');
    const { findings } = await json<CheckReport>('check');
    expect(findings.map(({ code }) => code)).toContain('joint-tight');
  });

  it('is cut from the socket alone, also where that part alone is asked for', async () => {
    decide('{ parts: [key, block] }');
    const before = await makeReady();
    expect(volumeOf(before, 'block')).toBeCloseTo(blockMm3, 0);
    const key = bytesOf('key.stl');
    decide('{ parts: [key, block], clearance: 0.2 }');
    const after = await makeReady();
    const exact = 14 * 14 * 10 - grownKey(0.2);
    // Written in thousandths of a millilitre.
    expect(Math.abs(volumeOf(after, 'block') - exact)).toBeLessThan(0.6);
    expect(notesOf(after, 'block')).toContain('The clearance of seat, 0.2 mm to key, is cut');
    expect(notesOf(after, 'key')).toBe('');
    expect(bytesOf('key.stl')).toEqual(key);
    const block = bytesOf('block.stl');
    const alone = await makeReady('--part', 'block');
    expect(alone.written.map(({ part }) => part)).toEqual(['block']);
    expect(bytesOf('block.stl')).toEqual(block);
  });

  it('is cut from the key where that gives', async () => {
    decide('{ parts: [key, block], clearance: 0.2, give: key }');
    const ready = await makeReady();
    expect(volumeOf(ready, 'block')).toBeCloseTo(blockMm3, 0);
    // 0.15 mm less on each side and at the end, and so much from under the rim where the shoulder would be.
    expect(volumeOf(ready, 'key')).toBeLessThan(6 * 6 * 8 - (36 - 5.7 ** 2) * 5);
    expect(notesOf(ready, 'key')).toContain('is cut');
  });

  it('that is there already cuts nothing', async () => {
    decide('{ parts: [key, block] }');
    await makeReady();
    const block = bytesOf('block.stl');
    decide('{ parts: [key, block], clearance: 0.05 }');
    const ready = await makeReady();
    expect(notesOf(ready, 'block')).toContain('is there already: nothing was cut');
    expect(bytesOf('block.stl')).toEqual(block);
  });

  it('of which a part is not found is told, not left out', async () => {
    decide('{ parts: [key, block], clearance: 0.2, give: lid }');
    const { findings } = await json<CheckReport>('check');
    expect(findings.find(({ code }) => code === 'joint-unfound')!.message).toContain('none of its two parts');
    const ready = await makeReady();
    expect(notesOf(ready, 'block')).toContain('The clearance of seat is not cut');
    decide('{ parts: [key, block], clearance: 3 }');
    expect((await json<CheckReport>('check')).findings.map(({ code }) => code)).toContain(
      'value-out-of-range',
    );
  });
});

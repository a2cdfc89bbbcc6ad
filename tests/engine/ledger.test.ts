import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { box, toStl } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const text = `${manifestHead}parts:
  crate: { file: parts/crate.stl, wall: 2, raise: 5, vents: [{ at: [0, 0, -20], diameter: 4 }] }   # mine
  block: { file: parts/crate.stl, wall: solid }
  lost: { file: parts/lost.stl }
`;
const kitAt = (name: string) =>
  writeKit(join(folder.path, name), text, { 'parts/crate.stl': toStl(box(40)) });

const edit = (kit: string, from: string, to: string): void => {
  const file = join(kit, 'kit.yaml');
  const before = readFileSync(file, 'utf8');
  expect(before).toContain(from);
  writeFileSync(file, before.replace(from, to));
};

describe('record and check --against ledger', () => {
  it('records what was computed; passes until a decision changes a figure, whatever was found before', async () => {
    const kit = kitAt('one');
    const none = await kitwright(['check', kit, '--against', 'ledger', '--json']);
    expect([none.code, JSON.parse(none.out).error.code]).toEqual([2, 'ledger-missing']);
    const first = await kitwright(['record', kit]);
    expect([first.code, first.out]).toEqual([0, expect.stringContaining('for the first time')]);
    const ledger = readFileSync(join(kit, 'ledger.yaml'), 'utf8');
    // 40 mm cubed: a closed form beside what was recorded.
    expect(ledger).toMatch(/block:\n(.*\n)*? {4}size_mm: \[ 40, 40, 40 \]\n(.*\n)*? {4}mass_g: /);
    expect(ledger).toContain('findings: { file-missing: 1 }');
    const written = statSync(join(kit, 'ledger.yaml')).mtimeMs;
    expect((await kitwright(['record', kit])).out).toContain('nothing has changed');
    expect(statSync(join(kit, 'ledger.yaml')).mtimeMs).toBe(written);
    // The lost file is an error, and recorded as one.
    const same = await kitwright(['check', kit, '--against', 'ledger']);
    expect([same.code, same.out]).toEqual([0, expect.stringContaining('The ledger is up to date.')]);

    edit(kit, 'diameter: 4', 'diameter: 9');
    const later = await kitwright(['check', kit, '--against', 'ledger', '--json']);
    expect(later.code).toBe(1);
    const { against } = JSON.parse(later.out);
    expect(against.current).toBe(false);
    expect(against.changes.map(({ part }: { part: string }) => part)).toEqual(['crate']);
    expect(against.changes[0].changes[0]).toBe('vent 0 4 → 9 mm');
    expect(readFileSync(join(kit, 'ledger.yaml'), 'utf8')).toBe(ledger);
    const again = await kitwright(['record', kit]);
    expect(again.out).toMatch(/^crate: vent 0 4 → 9 mm, resin −/);
    expect((await kitwright(['check', kit, '--against', 'ledger'])).code).toBe(0);
  }, 240_000);

  it('an STL that changed behind an unchanged time of its file is seen', async () => {
    const kit = kitAt('two');
    await kitwright(['record', kit]);
    const file = join(kit, 'parts/crate.stl');
    const { atime, mtime } = statSync(file);
    const bytes = readFileSync(file);
    // In place, the same length and time: the inode stays as well.
    const other = toStl(box([40, 40, 39]));
    expect(other.length).toBe(bytes.length);
    writeFileSync(file, other);
    utimesSync(file, atime, mtime);
    const { code, out } = await kitwright(['check', kit, '--against', 'ledger']);
    expect(code).toBe(1);
    expect(out).toMatch(/block: another STL, size 40 × 40 × 40 → 40 × 40 × 39 mm/);
  }, 240_000);

  it.each([
    ['not yaml: [', 'ledger-unreadable'],
    ['ledger: 1\nkit: x\n', 'ledger-unreadable'],
  ])(
    'a ledger %j is refused, and written over only by record',
    async (wrong, why) => {
      const kit = kitAt(`wrong-${wrong.length}`);
      writeFileSync(join(kit, 'ledger.yaml'), wrong);
      const { code, out } = await kitwright(['check', kit, '--against', 'ledger', '--json']);
      expect([code, JSON.parse(out).error.code]).toEqual([2, why]);
      expect(readFileSync(join(kit, 'ledger.yaml'), 'utf8')).toBe(wrong);
      expect((await kitwright(['record', kit])).code).toBe(0);
      expect((await kitwright(['check', kit, '--against', 'ledger'])).code).toBe(0);
    },
    120_000,
  );

  it('takes the whole kit and nothing else', async () => {
    const kit = kitAt('three');
    for (const args of [
      ['--against', 'journal'],
      ['--against', 'ledger', '--part', 'crate'],
    ])
      expect((await kitwright(['check', kit, ...args])).code).toBe(2);
    expect(existsSync(join(kit, 'ledger.yaml'))).toBe(false);
  }, 60_000);
});

const git = (kit: string, ...args: string[]) =>
  spawnSync('git', ['-C', kit, '-c', 'user.name=builder', '-c', 'user.email=b@example.org', ...args]);

describe.skipIf(spawnSync('git', ['--version']).status !== 0)('compare, between revisions of git', () => {
  it('tells what a commit changed, and what is not committed yet', async () => {
    const kit = kitAt('history');
    git(kit, 'init', '-q');
    await kitwright(['record', kit]);
    git(kit, 'add', 'kit.yaml', 'ledger.yaml');
    git(kit, 'commit', '-qm', 'one');
    expect((await kitwright(['compare', kit])).out).toBe('Nothing differs between HEAD and ledger.yaml.\n');
    edit(kit, 'wall: 2', 'wall: 3');
    await kitwright(['record', kit]);
    const open = await kitwright(['compare', kit]);
    expect([open.code, open.out]).toEqual([0, expect.stringMatching(/^crate: wall 2 mm → 3 mm, .*resin \+/)]);
    git(kit, 'commit', '-qam', 'two');
    const both = await kitwright(['compare', kit, '--from', 'HEAD~1', '--to', 'HEAD', '--json']);
    expect(JSON.parse(both.out).changes).toHaveLength(1);
    for (const from of ['HEAD~9', '--upload-pack=x', 'HEAD:kit.yaml', '']) {
      const { code } = await kitwright(['compare', kit, `--from=${from}`]);
      expect(code, from).toBe(2);
    }
  }, 240_000);
});

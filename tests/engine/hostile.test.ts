import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import type { ReadyReport } from '../../src/protocol/engineApi.ts';
import { box, sphere, toStl } from '../shapes.ts';
import { kitwright, manifestHead, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const cube = toStl(box(10));
const onWindows = process.platform === 'win32';

function kitOf(name: string, parts: string, files: Readonly<Record<string, Uint8Array>>): string {
  return writeKit(join(folder.path, name), `${manifestHead}${parts}`, files);
}

describe('arguments', () => {
  it.each(['constructor', 'toString', '__proto__'])('knows no command `%s`', async (name) => {
    const run = await kitwright([name]);
    expect(run.code).toBe(2);
    expect(run.err).toContain(`There is no command \`${name}\``);
  });

  it('takes negative numbers after a space', async () => {
    const path = join(folder.path, 'tall.stl');
    writeFileSync(path, toStl(box([10, 20, 30])));
    const run = await kitwright(['inspect', path, '--turn', '-90,0,0', '--json']);
    expect(run.code).toBe(0);
    expect(JSON.parse(run.out).part.mesh.size_mm).toEqual([10, 30, 20]);
    expect((await kitwright(['inspect', path, '--raise', '-1'])).err).toContain('--raise takes a number');
  });

  it('checks a part named twice once', async () => {
    const kit = kitOf('twice', 'parts:\n  block: { file: parts/b.stl, wall: solid, raise: 3 }\n', {
      'parts/b.stl': cube,
    });
    const run = await kitwright(['check', kit, '--part', 'block', '--part', 'block', '--json']);
    const { findings } = JSON.parse(run.out) as CheckReport;
    expect(findings.map(({ code }) => code)).toEqual(['needs-supports']);
  });

  it.skipIf(!existsSync('/dev/full'))('exits 2 when its output cannot be written', async () => {
    const path = join(folder.path, 'block.stl');
    writeFileSync(path, cube);
    const child = spawn(
      'sh',
      ['-c', `"$0" dist/kitwright.mjs inspect "$1" > /dev/full`, process.execPath, path],
      {
        cwd: root,
      },
    );
    expect(await once(child, 'close')).toEqual([2, null]);
  });
});

describe.skipIf(onWindows)('files that are none', () => {
  it('a named pipe and a link to itself are findings of their parts, the others are measured', async () => {
    const kit = kitOf(
      'odd',
      'parts:\n  pipe: { file: parts/pipe.stl }\n  loop: { file: parts/loop.stl }\n  block: { file: parts/b.stl, wall: solid }\n',
      { 'parts/b.stl': cube },
    );
    execFileSync('mkfifo', [join(kit, 'parts/pipe.stl')]);
    symlinkSync('loop.stl', join(kit, 'parts/loop.stl'));
    const run = await kitwright(['check', kit, '--json']);
    const { findings, parts } = JSON.parse(run.out) as CheckReport;
    expect(run.code).toBe(1);
    expect(Object.keys(parts)).toEqual(['block']);
    expect(findings.map(({ part, code }) => [part, code])).toEqual([
      ['pipe', 'file-unreadable'],
      ['loop', 'file-unreadable'],
    ]);
  });

  it('a named pipe as manifest cannot run', async () => {
    const kit = join(folder.path, 'piped');
    mkdirSync(kit);
    execFileSync('mkfifo', [join(kit, 'kit.yaml')]);
    const run = await kitwright(['check', kit, '--json']);
    expect(run.code).toBe(2);
    expect(JSON.parse(run.out)).toMatchObject({ ok: false, error: { code: 'manifest-unreadable' } });
  });
});

describe('make-ready', () => {
  it('makes nothing ready from a manifest whose text is broken, and says so', async () => {
    const kit = kitOf(
      'torn',
      'parts:\n  block:\n    file: parts/b.stl\n    wall: solid\n    vents: [ { at: [0, 0, 0]\n',
      { 'parts/b.stl': cube },
    );
    const run = await kitwright(['make-ready', kit]);
    expect(run.code).toBe(1);
    expect(run.out).toContain('error yaml-invalid');
    expect(existsSync(join(kit, 'ready/block.stl'))).toBe(false);
    const { ok } = JSON.parse((await kitwright(['make-ready', kit, '--json'])).out) as ReadyReport;
    expect(ok).toBe(false);
  });

  it('makes nothing ready at a scale that is told twice', async () => {
    const kit = writeKit(
      join(folder.path, 'two-scales'),
      'kit: The Lamplighter\nscale: { finished: "1:4", factor: 1, from: { source: 1, subject: 8 } }\nparts:\n  block: { file: parts/b.stl, wall: solid }\n',
      { 'parts/b.stl': cube },
    );
    const run = await kitwright(['make-ready', kit]);
    expect(run.code).toBe(1);
    expect(run.out).toContain('scale-missing');
    expect(existsSync(join(kit, 'ready'))).toBe(false);
  });

  it('writes no two parts into one file', async () => {
    const kit = kitOf(
      'clash',
      'parts:\n  a: { file: parts/a.stl, wall: solid, mirrored: 1 }\n  A-mirrored: { file: parts/b.stl, wall: solid }\n',
      { 'parts/a.stl': cube, 'parts/b.stl': toStl(box(12)) },
    );
    const run = await kitwright(['make-ready', kit, '--json']);
    const { written, refused } = JSON.parse(run.out) as ReadyReport;
    expect(run.code).toBe(1);
    expect(written.map(({ part, mirrored }) => [part, mirrored])).toEqual([
      ['a', false],
      ['a', true],
    ]);
    expect(refused.map(({ part }) => part)).toEqual(['A-mirrored']);
  });

  it('exits 1 when a part cannot be told apart by its name, and writes the others', async () => {
    const kit = kitOf(
      'named',
      'parts:\n  ../evil: { file: parts/a.stl, wall: solid }\n  a: { file: parts/a.stl, wall: solid }\n',
      { 'parts/a.stl': cube },
    );
    const run = await kitwright(['make-ready', kit]);
    expect(run.code).toBe(1);
    expect(run.out).toContain('error value-out-of-range The name ../evil');
    expect(readdirSync(join(kit, 'ready'))).toEqual(['a.stl']);
  });

  it("never writes over another part's source", async () => {
    const other = toStl(box(12));
    const kit = kitOf(
      'crossed',
      'parts:\n  a: { file: parts/b.stl, wall: solid }\n  b: { file: parts/a.stl, wall: solid }\n',
      { 'parts/a.stl': cube, 'parts/b.stl': other },
    );
    const run = await kitwright(['make-ready', kit, '--out', join(kit, 'parts')]);
    expect(run.code).toBe(1);
    expect(readFileSync(join(kit, 'parts/a.stl'))).toEqual(Buffer.from(cube));
    expect(readFileSync(join(kit, 'parts/b.stl'))).toEqual(Buffer.from(other));
  });
});

describe.skipIf(onWindows)('an interrupt from the terminal', () => {
  /** A terminal signals the whole process group: the command and its engine. */
  async function interrupt(args: readonly string[], when: () => boolean): Promise<number | null> {
    const child = spawn(process.execPath, [join(root, 'dist/kitwright.mjs'), ...args], {
      detached: true,
      stdio: 'ignore',
    });
    const closed = once(child, 'close');
    while (child.exitCode === null && !when()) await new Promise((wake) => setTimeout(wake, 1));
    process.kill(-child.pid!, 'SIGINT');
    return (await closed)[0];
  }

  it('while a file is written: 130, and nothing half-written stays', async () => {
    const kit = kitOf('large', 'parts:\n  globe: { file: parts/g.stl, wall: solid }\n', {
      'parts/g.stl': toStl(sphere(50, 900)),
    });
    const ready = join(kit, 'ready');
    const left = () => (existsSync(ready) ? readdirSync(ready) : []);
    const code = await interrupt(['make-ready', kit, '--even-with-errors'], () =>
      left().some((name) => name.endsWith('.part')),
    );
    // On a busy machine the file may be whole before the interrupt is heard; it is never half there.
    expect(left().filter((name) => name !== 'globe.stl')).toEqual([]);
    if (left().length === 0) expect(code).toBe(130);
  });
});

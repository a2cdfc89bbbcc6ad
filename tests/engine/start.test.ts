import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { parseManifest } from '../../src/core/kit/parseManifest.ts';
import { box, toStl } from '../shapes.ts';
import { kitwright, temporaryFolder } from './kitwright.ts';

const temporary = temporaryFolder();
afterAll(() => temporary.remove());

function folderWith(name: string, files: readonly string[]): string {
  const folder = join(temporary.path, name);
  mkdirSync(folder, { recursive: true });
  for (const file of files) {
    mkdirSync(dirname(join(folder, file)), { recursive: true });
    writeFileSync(join(folder, file), toStl(box(20)));
  }
  return folder;
}

describe('kitwright start', () => {
  it('writes a manifest of all STL files, which the check then reads', async () => {
    const files = ['parts/head.stl', 'parts/deep/er/arm.STL', 'base.stl', 'parts/it’s #1: "good".stl'];
    const others = [
      'ready/head.stl',
      '.hidden/x.stl',
      'node_modules/y.stl',
      '.stl',
      'notes.txt',
      'other/kit.yaml',
      'other/z.stl',
    ];
    const folder = folderWith('The Lamplighter', [...files, ...others]);
    symlinkSync(join(folder, 'base.stl'), join(folder, 'parts', 'link.stl'));
    const run = await kitwright(['start', folder, '--json']);
    expect([run.code, run.err]).toEqual([0, '']);
    const started = JSON.parse(run.out);
    expect(started.parts.map(({ file }: { file: string }) => file).sort()).toEqual([...files].sort());
    expect([started.left, started.more]).toEqual([[], false]);
    const text = readFileSync(join(folder, 'kit.yaml'), 'utf8');
    const { manifest, findings } = parseManifest(text);
    expect(manifest!.kit).toBe('The Lamplighter');
    expect(manifest!.parts.map(({ file }) => file).sort()).toEqual([...files].sort());
    expect(findings.map(({ code }) => code)).toEqual(['scale-missing']);

    writeFileSync(join(folder, 'kit.yaml'), text.replace('# scale: { factor: 1 }', 'scale: { factor: 1 }'));
    const checked = await kitwright(['check', folder, '--json']);
    const { parts } = JSON.parse(checked.out);
    // A box of 20 mm: 8 ml, whatever its name.
    for (const { name } of manifest!.parts) expect(parts[name].mesh.volume_ml).toBeCloseTo(8, 3);
  }, 120_000);

  it('never writes over a manifest', async () => {
    const folder = folderWith('mine', ['a.stl']);
    writeFileSync(join(folder, 'kit.yaml'), 'kit: Mine\n');
    const run = await kitwright(['start', folder]);
    expect([run.code, run.err]).toEqual([2, expect.stringContaining('is there already and was left alone')]);
    expect(readFileSync(join(folder, 'kit.yaml'), 'utf8')).toBe('kit: Mine\n');
  });

  it('says what to do where there is nothing to start with', async () => {
    const empty = await kitwright(['start', folderWith('empty', ['ready/a.stl'])]);
    expect([empty.code, empty.err]).toEqual([
      2,
      expect.stringContaining('has no STL file. Copy the sculpted parts into'),
    ]);
    const lost = await kitwright(['start', join(temporary.path, 'nowhere'), '--json']);
    expect([lost.code, JSON.parse(lost.out).error.message]).toEqual([2, expect.stringContaining('(ENOENT)')]);
    const hostile = await kitwright(['start', folderWith('hostile', ['a\nb.stl'])]);
    expect([hostile.code, hostile.err]).toEqual([
      2,
      expect.stringContaining('"a\\nb.stl" has a control character'),
    ]);
  });

  it('tells that there may be more where folders are nested too deep', async () => {
    const run = await kitwright(['start', folderWith('deep', ['a.stl', '1/2/3/4/b.stl', '1/2/3/4/5/c.stl'])]);
    expect([run.code, run.out]).toEqual([0, expect.stringMatching(/: 2 parts\.\nThere may be more/)]);
  });
});

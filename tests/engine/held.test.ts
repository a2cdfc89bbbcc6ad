import { copyFileSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { strFromU8, unzipSync } from 'fflate';
import { afterAll, expect, it } from 'vitest';
import type { InspectReport } from '../../src/core/kit/report.ts';
import type { ReadyReport } from '../../src/protocol/engineApi.ts';
import { kitwright, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const manifest = `kit: The Lamplighter
scale: { factor: 3.4 }
supports: planned
machine: { plate: [192, 120], height: 260, layer: 0.05 }
defaults: { wall: solid }
parts:
  lantern: { file: parts/lantern.stl, raise: 5 }
  boots: { file: parts/boots.stl, copies: 1, mirrored: 1 }
`;
const kit = writeKit(join(folder.path, 'kit'), manifest, {});
mkdirSync(join(kit, 'parts'));
for (const part of ['lantern', 'boots'])
  copyFileSync(join(root, `sample-workspace/parts/${part}.stl`), join(kit, `parts/${part}.stl`));

async function ready(...args: string[]): Promise<ReadyReport['written']> {
  const { out, err, code } = await kitwright(['make-ready', kit, '--even-with-errors', '--json', ...args]);
  expect(code, err).toBe(0);
  return (JSON.parse(out) as ReadyReport).written;
}

it('together: one watertight file that starts nowhere in air, its volume less than both by what the tips share', async () => {
  const apart = await ready('--part', 'lantern');
  const [together] = await ready('--part', 'lantern', '--held', 'together');
  expect([together!.supports, together!.held]).toEqual([null, 'together']);
  const both = apart[0]!.volume_ml + apart[0]!.supports!.volume_ml;
  expect(together!.volume_ml).toBeLessThan(both);
  expect(together!.volume_ml).toBeGreaterThan(both - 0.1);
  expect(together!.notes).toEqual([
    'lantern-supports.stl is of an earlier time: the supports are in lantern.stl now.',
  ]);
  const { out } = await kitwright(['inspect', together!.file, '--json']);
  const { part, findings } = JSON.parse(out) as InspectReport;
  expect([part.mesh.watertight, part.mesh.shells, part.mesh.repaired]).toEqual([true, 1, []]);
  expect(findings.map(({ code }) => code)).not.toContain('starts-in-air');
}, 180_000);

it('tips side by side and a mirrored copy: only near the tips, and the same bytes twice', async () => {
  const first = await ready('--part', 'boots', '--held', 'together');
  expect(first.map(({ mirrored, notes }) => [mirrored, notes])).toEqual([
    [false, []],
    [true, []],
  ]);
  const again = await ready('--part', 'boots', '--held', 'together', '--no-cache');
  expect(again.map(({ sha256 }) => sha256)).toEqual(first.map(({ sha256 }) => sha256));
}, 60_000);

it('3MF apart: one package with the part and its supports as two named objects', async () => {
  const [written] = await ready('--part', 'lantern', '--format', '3mf');
  expect(written!.supports!.file).toBe(written!.file);
  expect(written!.supports!.sha256).toBe(written!.sha256);
  const model = strFromU8(unzipSync(readFileSync(written!.file))['3D/3dmodel.model']!);
  const names = [...model.matchAll(/<object id="\d" (?:type="(\w+)" )?name="([^"]+)"/g)];
  expect(names.map(([, type, name]) => [type, name])).toEqual([
    ['model', 'lantern'],
    ['solidsupport', 'lantern-supports'],
    [undefined, 'lantern, held'],
  ]);
  expect(model.match(/<triangle /g)).toHaveLength(written!.triangles + written!.supports!.triangles);
}, 60_000);

it.each([['sideways'], [''], ['apart,together']])('--held %j: told, exit code 2', async (held) => {
  const { code, err } = await kitwright(['make-ready', kit, `--held=${held}`]);
  expect(code).toBe(2);
  expect(err).toContain('--held takes apart or together');
});

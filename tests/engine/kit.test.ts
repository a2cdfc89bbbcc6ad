import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { uninterrupted } from '../../src/core/interrupter.ts';
import type { CheckReport } from '../../src/core/kit/report.ts';
import { readStl } from '../../src/core/mesh/readStl.ts';
import { reportTopology } from '../../src/core/mesh/topology.ts';
import { weld } from '../../src/core/mesh/weld.ts';
import type { ReadyReport } from '../../src/protocol/engineApi.ts';
import { box, sphere, toStl } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const manifest = `${manifestHead}parts:
  lantern:
    file: parts/lantern.stl       # the globe
    vents:
      - { at: [6, 0, -19.08], diameter: 6, depth: 5 }
    drains:
      - { at: [-14, 0, 14], diameter: 6, depth: 5 }
  base:
    file: parts/base.stl
    wall: solid
    mirrored: 1
  missing:
    file: parts/nowhere.stl
  broken:
    file: parts/broken.stl
`;
const globe = toStl(sphere(20, 96));
let kit: string;
let report: CheckReport;

beforeAll(async () => {
  kit = writeKit(join(folder.path, 'kit'), manifest, {
    'parts/lantern.stl': globe,
    'parts/base.stl': toStl(box([60, 40, 10])),
    'parts/broken.stl': globe.slice(0, 1000),
  });
  const run = await kitwright(['check', kit, '--json']);
  expect(run.code).toBe(1);
  report = JSON.parse(run.out) as CheckReport;
});

const codesOf = (part: string | null): string[] =>
  report.findings.filter((finding) => finding.part === part).map(({ code }) => code);

describe('check', () => {
  it('keeps the contract: parts measured, failed files as findings at their lines', () => {
    expect(report.kit).toBe('The Lamplighter');
    expect(Object.keys(report.parts)).toEqual(['lantern', 'base']);
    expect(codesOf('missing')).toEqual(['file-missing']);
    expect(codesOf('broken')).toEqual(['file-unreadable']);
    const lines = manifest.split('\n');
    for (const { part, line } of report.findings.filter(({ code }) => code.startsWith('file-'))) {
      expect(lines[line - 1]).toContain(`parts/${part === 'missing' ? 'nowhere' : 'broken'}.stl`);
    }
  });

  it('measures the hollow and joins the openings to their chamber', () => {
    const { hollow, cups } = report.parts['lantern']!;
    // Sphere of 18.5 mm inside one of 20 mm; faceted, so a little less than the closed form.
    expect(
      Math.abs(hollow.chambers[0]!.volume_ml / (((4 / 3) * Math.PI * 18.5 ** 3) / 1000) - 1),
    ).toBeLessThan(5e-3);
    expect(hollow.chambers[0]!.openings).toEqual(['vents/0', 'drains/0']);
    expect(hollow.resin_ml).toBeLessThan(hollow.solid_ml - hollow.chambers[0]!.volume_ml);
    expect(cups[0]!.joins_layer).not.toBeNull();
    expect(cups[0]!.breather).toBe('vents/0');
  });

  it('prints human lines with file, line, column, severity and code', async () => {
    const run = await kitwright(['check', kit]);
    expect(run.code).toBe(1);
    expect(run.out).toMatch(/^kit\.yaml:\d+:\d+ error file-missing .*nowhere\.stl/m);
    expect(run.err).toBe('');
  });

  it('gives the same JSON from the cache and without it', async () => {
    const [warm, cold] = [
      await kitwright(['check', kit, '--json']),
      await kitwright(['check', kit, '--json', '--no-cache']),
    ];
    expect(JSON.parse(warm.out)).toEqual(report);
    expect(JSON.parse(cold.out)).toEqual(report);
  });

  it('checks one part alone and refuses an unknown one with exit 2', async () => {
    const one = await kitwright(['check', kit, '--part', 'base', '--json']);
    expect(Object.keys((JSON.parse(one.out) as CheckReport).parts)).toEqual(['base']);
    const unknown = await kitwright(['check', kit, '--part', 'hat', '--json']);
    expect(unknown.code).toBe(2);
    expect(JSON.parse(unknown.out)).toMatchObject({ ok: false, error: { code: 'part-unknown' } });
  });

  it('says with a finding, not a crash, what is wrong with a broken manifest', async () => {
    const broken = writeKit(join(folder.path, 'broken'), 'kit: [unclosed\nparts:', {});
    const run = await kitwright(['check', broken, '--json']);
    expect((JSON.parse(run.out) as CheckReport).findings.map(({ code }) => code)).toContain('yaml-invalid');
    expect(run.code).toBe(1);
  });
});

describe('layers of a part', () => {
  const refusal = async (...args: string[]) => {
    const run = await kitwright(['layers', kit, '--csv', '--json', ...args]);
    expect(run.code).toBe(2);
    return (JSON.parse(run.out) as { error: { code: string; message: string } }).error;
  };

  it('refuses the options of a single file: the manifest decides', async () => {
    for (const options of [
      ['--part', 'base', '--factor', '2'],
      ['--turn', '0,0,90'],
    ]) {
      const refused = await refusal(...options);
      expect(refused.message).toContain('the manifest decides');
      expect(refused).toMatchObject({ code: 'option-invalid' });
    }
  });

  it('tells a missing STL apart from an unreadable one', async () => {
    expect(await refusal('--part', 'missing')).toMatchObject({ code: 'file-missing' });
    expect(await refusal('--part', 'broken')).toMatchObject({ code: 'file-unreadable' });
  });
});

describe('make-ready', () => {
  const weldFile = (path: string) => {
    const soup = readStl(readFileSync(path), { maxTriangles: 1e7 }, uninterrupted);
    if (!soup.ok) throw new Error(soup.error.message);
    return reportTopology(weld(soup.value, uninterrupted).mesh, uninterrupted);
  };

  it('writes watertight, outward meshes with the volume that the check told, the same bytes twice', async () => {
    const args = ['make-ready', kit, '--part', 'lantern', '--part', 'base', '--json'];
    const run = await kitwright(args);
    const { written, refused } = JSON.parse(run.out) as ReadyReport;
    expect(refused).toEqual([]);
    expect(run.code).toBe(0);
    expect(written.map(({ file }) => file.slice(kit.length))).toEqual([
      '/ready/lantern.stl',
      '/ready/base.stl',
      '/ready/base-mirrored.stl',
    ]);
    for (const { file, part } of written) {
      const topology = weldFile(file);
      expect(topology.watertight).toBe(true);
      expect(Math.abs(topology.signedVolume / 1000 / report.parts[part]!.hollow.resin_ml - 1)).toBeLessThan(
        1e-3,
      );
    }
    const again = JSON.parse((await kitwright([...args, '--no-cache'])).out) as ReadyReport;
    expect(again.written.map(({ sha256 }) => sha256)).toEqual(written.map(({ sha256 }) => sha256));
    expect(readdirSync(join(kit, 'ready')).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('writes the stoppers of vents and drains beside the part, watertight, in the order told', async () => {
    const out = join(folder.path, 'closing');
    const told = `${manifestHead}stoppers: { clearance: 0.2, taper: 0 }
parts:
  lantern:
    file: parts/lantern.stl
    mirrored: 1
    vents: [{ at: [6, 0, -19.08], diameter: 6, depth: 5 }]
    drains:
      - { at: [-14, 0, 14], diameter: 6, depth: 5, stopper: { lip: 1 } }
      - { at: [14, 0, 14], diameter: 4, depth: 5, stopper: no }
    tubes: [{ at: [0, 20, 0], diameter: 3, depth: 5 }]
`;
    const closing = writeKit(join(folder.path, 'stoppers'), told, { 'parts/lantern.stl': globe });
    const run = await kitwright(['make-ready', closing, '--out', out, '--json']);
    const { written } = JSON.parse(run.out) as ReadyReport;
    expect(readdirSync(out).sort()).toEqual([
      'lantern-mirrored-stoppers.stl',
      'lantern-mirrored.stl',
      'lantern-stoppers.stl',
      'lantern.stl',
    ]);
    const [sculpted, mirrored] = written.map(({ stoppers }) => stoppers!);
    expect(sculpted!.pieces.map(({ number, opening }) => [number, opening])).toEqual([
      [1, 'vents/0'],
      [2, 'drains/0'],
    ]);
    expect(mirrored!.pieces[0]!.at[0]).toBeCloseTo(-sculpted!.pieces[0]!.at[0], 6);
    const [vent, drain] = sculpted!.pieces;
    // Both look at the middle of the globe, so their walls are alike: one is longer by its lip.
    expect(drain!.depth_mm - vent!.depth_mm).toBeCloseTo(1, 1);
    expect(vent!).toMatchObject({ diameter_mm: 5.6, foot_mm: 5.6, clearance_mm: 0.2, taper_deg: 0 });
    for (const { file, volume_ml } of [sculpted!, mirrored!]) {
      const topology = weldFile(file);
      expect(topology.watertight).toBe(true);
      expect(topology.shells).toBe(2);
      expect(topology.bounds.min[2]).toBe(0);
      expect(topology.signedVolume / 1000).toBeCloseTo(volume_ml, 3);
    }
    const text = (await kitwright(['make-ready', closing, '--out', out])).out;
    expect(text).toContain('1 vents/0 (5.6 mm), 2 drains/0 (5.6 mm)');
    expect(text).toContain('only when it is rinsed, dry and cured');
    expect(text).not.toContain('of an earlier time');

    const opened = told
      .replace('stoppers: {', 'stoppers: no #')
      .replace('stopper: { lip: 1 }', 'stopper: no');
    writeFileSync(join(closing, 'kit.yaml'), opened);
    const later = JSON.parse(
      (await kitwright(['make-ready', closing, '--out', out, '--json'])).out,
    ) as ReadyReport;
    expect(later.written.map(({ notes }) => notes)).toEqual([
      ['lantern-stoppers.stl is of an earlier time: as decided now, lantern has no stoppers.'],
      ['lantern-mirrored-stoppers.stl is of an earlier time: as decided now, lantern has no stoppers.'],
    ]);
  });

  it('never writes over the source, by whatever name', async () => {
    const run = await kitwright(['make-ready', kit, '--part', 'lantern', '--out', join(kit, 'parts')]);
    expect(run.code).toBe(1);
    expect(run.out).toContain('never overwritten');
    expect(readFileSync(join(kit, 'parts/lantern.stl'))).toEqual(Buffer.from(globe));
  });

  it('refuses a part with errors, writes the others, and obeys when told', async () => {
    const faulty = writeKit(
      join(folder.path, 'faulty'),
      `${manifestHead}parts:\n  sealed: { file: parts/s.stl }\n  block: { file: parts/b.stl, wall: solid }\n`,
      {
        'parts/s.stl': globe,
        'parts/b.stl': toStl(box(10)),
      },
    );
    const run = await kitwright(['make-ready', faulty, '--json']);
    expect(run.code).toBe(1);
    const { written, refused } = JSON.parse(run.out) as ReadyReport;
    expect(written.map(({ part }) => part)).toEqual(['block']);
    expect(refused.map(({ part }) => part)).toEqual(['sealed']);
    expect(existsSync(join(faulty, 'ready/sealed.stl'))).toBe(false);
    expect((await kitwright(['make-ready', faulty, '--even-with-errors'])).code).toBe(0);
    expect(weldFile(join(faulty, 'ready/sealed.stl')).shells).toBe(2);
  });

  it('writes 3MF that says millimetre and holds the same triangles', async () => {
    const run = await kitwright(['make-ready', kit, '--part', 'base', '--format', '3mf', '--json']);
    const [file] = (JSON.parse(run.out) as ReadyReport).written;
    const { unzipSync, strFromU8 } = await import('fflate');
    const model = strFromU8(unzipSync(readFileSync(file!.file))['3D/3dmodel.model']!);
    expect(model).toContain('unit="millimeter"');
    expect(model.match(/<triangle /g)).toHaveLength(file!.triangles);
  });
});

it('keys without room are told by a check of either half alone, and once by that of both', async () => {
  const cut = writeKit(
    join(folder.path, 'keys'),
    `${manifestHead}cuts: { waist: { at: [0, 0, 0], toward: [0, 0, 1], keys: 1, key: { diameter: 30 } } }
parts:
  low: { file: parts/b.stl, wall: solid, cut: { waist: back } }
  top: { file: parts/b.stl, wall: solid, cut: { waist: front } }
`,
    { 'parts/b.stl': toStl(box([20, 20, 40])) },
  );
  const toldAt = async (...names: string[]): Promise<(string | null)[]> => {
    const { out } = await kitwright(['check', cut, '--json', ...names.flatMap((name) => ['--part', name])]);
    const { findings } = JSON.parse(out) as CheckReport;
    return findings.filter(({ code }) => code === 'key-without-room').map(({ part }) => part);
  };
  expect(await toldAt('top')).toEqual(['top']);
  expect(await toldAt('low')).toEqual(['low']);
  expect(await toldAt('low', 'top')).toEqual(['low']);
  expect(await toldAt()).toEqual(['low']);
}, 60_000);

describe('cancel', () => {
  it('ends with 130, keeps no half-written file and no result', async () => {
    const big = writeKit(
      join(folder.path, 'big'),
      `${manifestHead}parts:\n  globe: { file: parts/g.stl }\n`,
      { 'parts/g.stl': toStl(sphere(58, 700)) },
    );
    const run = await kitwright(['check', big], (kill) => setTimeout(() => kill('SIGINT'), 1200));
    expect(run.code).toBe(130);
    expect(run.err).toContain('cancelled');
    const left = readdirSync(big, { recursive: true }).map(String);
    expect(left.filter((name) => name.endsWith('.part') || name.includes('facts-'))).toEqual([]);
  });
});

it('follows an edit of the file on disk', async () => {
  const path = join(kit, 'parts/base.stl');
  writeFileSync(path, toStl(box([30, 40, 10])));
  const run = await kitwright(['check', kit, '--part', 'base', '--json']);
  expect((JSON.parse(run.out) as CheckReport).parts['base']!.mesh.volume_ml).toBeCloseTo(12, 3);
});

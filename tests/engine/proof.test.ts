import { copyFileSync, cpSync, existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { type Frustum, plugShape, socketShape } from '../../src/core/cut/keyShape.ts';
import type { InspectReport } from '../../src/core/kit/report.ts';
import type { ProofReport } from '../../src/protocol/engineApi.ts';
import { box, toStl } from '../shapes.ts';
import { kitwright, manifestHead, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const sample = join(folder.path, 'sample');
cpSync(join(root, 'sample-workspace'), sample, { recursive: true });
for (const made of ['ready', '.kitwright']) rmSync(join(sample, made), { recursive: true, force: true });

async function proof(kit: string, ...args: string[]): Promise<ProofReport> {
  const { out, err, code } = await kitwright(['proof', kit, '--json', ...args]);
  expect(code, err).toBe(0);
  return JSON.parse(out) as ProofReport;
}

async function inspected(file: string): Promise<InspectReport> {
  return JSON.parse((await kitwright(['inspect', file, '--json'])).out) as InspectReport;
}

describe('the sample kit', () => {
  it.each([
    ['torso', 'opening', 'vents/1'],
    ['coat-skirt', 'ceiling', null],
    ['head', 'wall', null],
  ])(
    '%s: a watertight piece of its %s that stands on the plate, the same bytes twice',
    async (part, kind, opening) => {
      const report = await proof(sample, '--part', part);
      expect([report.kind, report.opening]).toEqual([kind, opening]);
      expect(report.file).toBe(join(sample, `ready/${part}-proof.stl`));
      const { part: piece } = await inspected(report.file);
      // Slivers at the cut have no area left in float32; nothing else needs mending.
      const mended = piece.mesh.repaired.filter((what) => !what.endsWith('triangles without area dropped'));
      expect([piece.mesh.watertight, mended]).toEqual([true, []]);
      expect(piece.mesh.volume_ml).toBeCloseTo(report.volume_ml, 2);
      expect(piece.layers.count).toBe(report.layers);
      expect(piece.print.hours).toBeCloseTo(report.hours, 2);
      for (const size of piece.mesh.size_mm) expect(size).toBeLessThanOrEqual(report.size_mm + 1e-3);
      // A piece is small beside its part.
      const { out } = await kitwright(['check', sample, '--part', part, '--json']);
      expect(report.volume_ml).toBeLessThan(0.5 * JSON.parse(out).parts[part].hollow.resin_ml);
      expect((await proof(sample, '--part', part)).sha256).toBe(report.sha256);
    },
    300_000,
  );

  it('an opening that is named, as 3MF in another folder', async () => {
    const out = join(folder.path, 'out');
    const report = await proof(
      sample,
      '--part',
      'torso',
      '--of',
      'drains/0',
      '--format',
      '3mf',
      '--out',
      out,
    );
    expect(report.file).toBe(join(out, 'torso-proof.3mf'));
    expect(report).toMatchObject({ kind: 'opening', opening: 'drains/0' });
    expect(readFileSync(report.file).subarray(0, 2).toString()).toBe('PK');
  }, 180_000);
});

describe('a hollow box of 40 mm with a wall of 2 mm', () => {
  const kit = writeKit(
    join(folder.path, 'box'),
    `${manifestHead}parts:
  crate: { file: parts/crate.stl, wall: 2, vents: [{ at: [20, 0, 0], diameter: 6, depth: 4 }] }
  crate-two: { file: parts/crate.stl, wall: 2 }
  crate-two-proof: { file: parts/crate.stl, wall: solid }
`,
    { 'parts/crate.stl': toStl(box(40)) },
  );

  it('of the vent 20 mm square: the wall less the hole', async () => {
    const report = await proof(kit, '--part', 'crate', '--of', 'vents/0', '--size', '20');
    // The cavity's corners are rounded far from here; its walls are flat to some hundredths.
    expect(Math.abs(report.volume_ml - (2 * (400 - Math.PI * 9)) / 1000)).toBeLessThan(0.01);
    expect(report.at_source).toEqual([20, 0, 0].map((value) => expect.closeTo(value, 3)));
    expect(report).toMatchObject({ layers: 400, size_mm: 20, cut_z_mm: 10, starts_in_air: 0 });
  }, 60_000);

  it('at a place in source coordinates', async () => {
    const report = await proof(kit, '--part', 'crate', '--at', '-20,-20,-20', '--size', '20');
    expect(report.kind).toBe('place');
    // The corner on the plate: 10 × 10 × 20 mm, less the cavity from 2 mm on.
    expect(report.volume_ml).toBeGreaterThan((10 * 10 * 20 - 8 * 8 * 18) / 1000 - 0.005);
    expect(report.volume_ml).toBeLessThan((10 * 10 * 20 - 8 * 8 * 18) / 1000 + 0.01);
  }, 60_000);

  it.each([
    [['--at', '30,0,0'], 'place-outside', 'lies 10 mm outside crate'],
    [['--at', '0,0,0', '--size', '10'], 'place-outside', 'larger --size'],
    [['--of', 'vents/3'], 'place-unknown', 'It has: vents/0'],
    [['--of', 'vents/0', '--size', '5'], 'option-invalid', 'it takes'],
    [['--size', '0'], 'option-invalid', '--size'],
    [['--size', '1e9'], 'option-invalid', '--size'],
    [['--size', 'NaN'], 'option-invalid', '--size'],
    [['--at', '1,2'], 'option-invalid', '--at'],
    [['--at', '1,2,1e400'], 'option-invalid', '--at'],
    [['--at', '0,0,0', '--of', 'wall'], 'option-invalid', 'not both'],
    [['--of', '../../etc'], 'option-invalid', '--of'],
    [['--of', 'toString'], 'option-invalid', '--of'],
    [['--format', 'obj'], 'option-invalid', '--format'],
    [['--part', 'nobody'], 'part-unknown', 'nobody'],
    [['--part', 'crate-two', '--of', 'wall'], 'option-invalid', 'crate-two-proof'],
    [['--part', 'crate-two', '--of', 'wall', '--out', `${kit}/ready`], 'option-invalid', 'crate-two-proof'],
  ])(
    '%j is refused, exit code 2',
    async (args, code, says) => {
      const part = args.includes('--part') ? [] : ['--part', 'crate'];
      const run = await kitwright(['proof', kit, '--json', ...part, ...args]);
      expect(run.code).toBe(2);
      const { ok, error } = JSON.parse(run.out);
      expect([ok, error.code]).toEqual([false, code]);
      expect(error.message).toContain(says);
    },
    60_000,
  );

  it("never writes over another part's source", async () => {
    const own = writeKit(
      join(folder.path, 'own'),
      `${manifestHead}parts:\n  crate: { file: parts/crate.stl, wall: 2 }\n  lid: { file: parts/crate-proof.stl, wall: solid }\n`,
      { 'parts/crate.stl': toStl(box(40)), 'parts/crate-proof.stl': toStl(box(9)) },
    );
    const run = await kitwright([
      'proof',
      own,
      '--part',
      'crate',
      '--at',
      '20,0,0',
      '--out',
      join(own, 'parts'),
    ]);
    expect(run.code).toBe(2);
    expect(run.err).toContain('never overwritten');
    expect(readFileSync(join(own, 'parts/crate-proof.stl'))).toEqual(Buffer.from(toStl(box(9))));
  }, 60_000);

  it('a part that is not watertight is told', async () => {
    const open = writeKit(
      join(folder.path, 'open'),
      `${manifestHead}parts:\n  can: { file: parts/can.stl }\n`,
      {
        'parts/x': new Uint8Array(1),
      },
    );
    copyFileSync(join(root, 'sample-workspace/parts/oil-can.stl'), join(open, 'parts/can.stl'));
    const run = await kitwright(['proof', open, '--part', 'can', '--at', '0,0,0']);
    expect(run.code).toBe(2);
    expect(existsSync(join(open, 'ready/can-proof.stl'))).toBe(false);
  }, 60_000);
});

describe('a joint pair: one key of a box cut in two', () => {
  const kit = writeKit(
    join(folder.path, 'halves'),
    `${manifestHead}cuts:
  waist: { at: [0, 0, 0], toward: [0, 0, 1], keys: [{ at: [0, 0, 0], diameter: 8 }], key: { length: 6, taper: 5 }, clearance: 0.2 }
parts:
  lower: { file: parts/crate.stl, wall: solid, cut: { waist: back } }
  upper: { file: parts/crate.stl, wall: solid, cut: { waist: front } }
`,
    { 'parts/crate.stl': toStl(box([60, 60, 80])) },
  );
  const area = (radius: number): number => (48 / 2) * radius ** 2 * Math.sin((2 * Math.PI) / 48);
  const volumeMl = ({ baseRadius: r, endRadius: s, length }: Frustum): number =>
    (length / 3000) * (area(r) + area(s) + Math.sqrt(area(r) * area(s)));
  const plug = plugShape({ diameter: 8, length: 6, taper: 5, wall: 1.5 }, 8);

  it('of the plug and of the socket, each round the key and naming the other', async () => {
    const lower = await proof(kit, '--part', 'lower', '--of', 'keys/0');
    const upper = await proof(kit, '--part', 'upper', '--of', 'keys/0');
    for (const { kind, size_mm, starts_in_air } of [lower, upper])
      expect([kind, size_mm, starts_in_air]).toEqual(['key', 30, 0]);
    // 15 mm of the lower half under the seam, and the plug; 30 mm of the upper, which stands on its seam.
    expect(lower.volume_ml).toBeCloseTo(0.9 * 15 + volumeMl(plug), 2);
    expect(upper.volume_ml).toBeCloseTo(0.9 * 30 - volumeMl(socketShape(plug, 0.2)), 2);
    expect(lower.notes).toContain('Its other half: kitwright proof --part "upper" --of keys/0');
    expect(upper.notes).toContain('Its other half: kitwright proof --part "lower" --of keys/0');
    expect(lower.look).toContain('plug and socket');
  }, 60_000);

  it('a key that is not there is told', async () => {
    const run = await kitwright(['proof', kit, '--json', '--part', 'lower', '--of', 'keys/1']);
    expect([run.code, JSON.parse(run.out).error.code]).toEqual([2, 'place-unknown']);
  }, 60_000);
});

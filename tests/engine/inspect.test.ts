import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { InspectReport } from '../../src/core/kit/report.ts';
import { box, loadSharedStl, reversed, sphere, torus, toStl, transformed } from '../shapes.ts';
import { kitwright, temporaryFolder } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

function stl(name: string, bytes: Uint8Array): string {
  const path = join(folder.path, name);
  writeFileSync(path, bytes);
  return path;
}

async function inspect(path: string, ...options: string[]): Promise<InspectReport> {
  const run = await kitwright(['inspect', path, '--json', ...options]);
  return JSON.parse(run.out) as InspectReport;
}

describe('inspect', () => {
  it('measures a cube: volume, size, layers, nothing to report', async () => {
    const { part, findings, ok } = await inspect(stl('cube.stl', toStl(box(40))));
    expect(ok).toBe(true);
    expect(part.mesh).toMatchObject({
      triangles: 12,
      vertices: 8,
      shells: 1,
      watertight: true,
      volume_ml: 64,
      area_mm2: 9600,
      size_mm: [40, 40, 40],
    });
    expect(part.layers).toMatchObject({ count: 800, layer_mm: 0.05 });
    expect(part.layers.peak_area_mm2).toBeCloseTo(1600, 0);
    expect(part.islands).toEqual([]);
    expect(part.cups).toEqual([]);
    expect(findings.filter(({ severity }) => severity === 'error')).toEqual([]);
  });

  it('hollows a cube at 1.5 mm: 37 mm cubed, one sealed chamber', async () => {
    const { part, findings } = await inspect(stl('cube.stl', toStl(box(40))), '--wall', '1.5');
    expect(part.hollow.chambers).toHaveLength(1);
    expect(Math.abs(part.hollow.chambers[0]!.volume_ml / 50.653 - 1)).toBeLessThan(2e-3);
    expect(Math.abs(part.hollow.resin_ml / (64 - 50.653) - 1)).toBeLessThan(5e-3);
    // 37 mm of hollow from z = 1.5 mm: layers 30 to 769, all of them sealed; p_atm · 1369 mm² = 138.7 N.
    expect(part.cups).toHaveLength(1);
    const [cup] = part.cups;
    expect([cup!.from_layer, cup!.to_layer, cup!.sealed_layers]).toEqual([30, 769, 740]);
    expect(Math.abs(cup!.peak_pull_n / 138.71 - 1)).toBeLessThan(5e-3);
    expect(findings.map(({ code }) => code)).toEqual(
      expect.arrayContaining(['sealed-cup', 'chamber-without-opening']),
    );
  });

  it('gives the same figures in every pose and scales with the factor', async () => {
    const path = stl('torus.stl', toStl(torus(30, 10, 128, 128)));
    const [flat, tilted, half] = await Promise.all([
      inspect(path),
      inspect(path, '--turn', '35,20,10', '--raise', '5'),
      inspect(path, '--factor', '0.5'),
    ]);
    // physics.md row 31: the 128 × 128 torus mesh has 59 170.08 mm³.
    expect(Math.abs(flat.part.mesh.volume_ml / 59.17008 - 1)).toBeLessThan(1e-4);
    expect(Math.abs(tilted.part.mesh.volume_ml / flat.part.mesh.volume_ml - 1)).toBeLessThan(1e-4);
    expect(Math.abs(half.part.mesh.volume_ml / flat.part.mesh.volume_ml - 1 / 8)).toBeLessThan(1e-4);
    expect(tilted.findings.map(({ code }) => code)).toContain('needs-supports');
    expect(tilted.part.islands.every(({ layer }) => layer >= 100)).toBe(true);
  });

  it('turns an inside-out mesh and says so', async () => {
    const { part, findings } = await inspect(stl('inverted.stl', toStl(reversed(sphere(10)))));
    expect(part.mesh.volume_ml).toBeGreaterThan(4);
    expect(findings.map(({ code }) => code)).toContain('inside-out');
  });

  it('tells what is outside the plate, in which axis and by how much', async () => {
    const { findings, ok } = await inspect(stl('long.stl', toStl(transformed(box([200, 20, 210]), {}))));
    expect(ok).toBe(false);
    expect(findings.map(({ code }) => code)).toEqual(expect.arrayContaining(['outside-plate', 'too-tall']));
  });

  it('reads an absurd size without hanging', async () => {
    const { part, findings } = await inspect(stl('cube.stl', toStl(box(40))), '--factor', '90');
    expect(part.mesh.size_mm).toEqual([3600, 3600, 3600]);
    expect(findings.map(({ code }) => code)).toContain('too-tall');
  });

  it.skipIf(loadSharedStl('human_cc0') === null)(
    'agrees with the reference areas of an open mesh',
    async () => {
      const run = await kitwright(['layers', stl('human.stl', loadSharedStl('human_cc0')!), '--csv']);
      const rows = run.out
        .trim()
        .split('\n')
        .slice(1)
        .map((line) => line.split(',').map(Number));
      const areaAt = (z: number): number => rows.find((row) => Math.abs(row[1]! - z) < 1e-6)![2]!;
      // Two independent native libraries agree on these to 1e-5 (table of the open meshes).
      for (const [z, area] of [
        [23.775, 124.16963],
        [71.275, 428.71011],
        [118.775, 579.09458],
        [166.275, 131.9539],
      ] as const) {
        expect(Math.abs(areaAt(z) / area - 1)).toBeLessThan(2e-3);
      }
      const volume = rows.reduce((sum, row) => sum + row[2]! * 0.05, 0);
      expect(Math.abs(volume / 81443.721 - 1)).toBeLessThan(2e-4);
    },
  );
});

describe('exit codes and failures', () => {
  it('an unreadable file cannot run: exit 2, a code and a sentence, in JSON too', async () => {
    const plain = await kitwright(['inspect', stl('empty.stl', new Uint8Array(0))]);
    expect([plain.code, plain.out]).toEqual([2, '']);
    expect(plain.err).toContain('stl-empty');
    const json = await kitwright(['inspect', join(folder.path, 'nowhere.stl'), '--json']);
    expect(json.code).toBe(2);
    expect(JSON.parse(json.out)).toMatchObject({ ok: false, error: { code: 'file-missing' } });
  });

  it.each([
    [['nonsense']],
    [['inspect']],
    [['inspect', 'a.stl', '--wall', 'thick']],
    [['inspect', 'a.stl', '--turn', '1,2']],
    [['inspect', 'a.stl', '--unheard-of']],
    [['layers', 'a.stl']],
    [['check', '/nowhere/at/all']],
    [['make-ready', '.', '--format', 'obj']],
  ])('refuses %j with exit 2', async (args) => {
    const run = await kitwright(args);
    expect(run.code).toBe(2);
    expect(run.err).toMatch(/^kitwright: [a-z-]+: /);
  });

  it('helps with exit 0', async () => {
    const run = await kitwright(['--help']);
    expect([run.code, run.err]).toEqual([0, '']);
    expect(run.out).toContain('kitwright check');
  });
});

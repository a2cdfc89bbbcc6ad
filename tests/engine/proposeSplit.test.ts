import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import type { KitSplits, ReadyReport } from '../../src/protocol/engineApi.ts';
import { box, cylinder, join as joined, toStl, transformed } from '../shapes.ts';
import { kitwright, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const head = `kit: The Lamplighter
scale: { factor: 2 }
machine: { plate: [192, 120], height: 200, layer: 0.2 }   # the small one
limits: { pull: 10000 }
parts:
`;

async function splits(
  kit: string,
  ...options: string[]
): Promise<KitSplits & { readonly code: number | null }> {
  const { out, err, code } = await kitwright(['propose', 'split', kit, '--json', ...options]);
  expect(code, err).toBeLessThan(2);
  return { ...(JSON.parse(out) as KitSplits), code };
}

async function check(kit: string): Promise<CheckReport> {
  return JSON.parse((await kitwright(['check', kit, '--json'])).out) as CheckReport;
}

describe('propose split', () => {
  it('a plank longer than the plate: both halves fit, are checked and made ready out of one STL', async () => {
    const text = `${head}  plank:                # of the ladder
    file: parts/plank.stl
    wall: 2
    vents:
      - { at: [-60, 0, -10], diameter: 6, toward: [0, 0, 1] }
      - { at: [60, 0, -10], diameter: 6, toward: [0, 0, 1] }
    drains:
      - { at: [-50, 0, 10], diameter: 6, toward: [0, 0, -1] }
      - { at: [50, 0, 10], diameter: 6, toward: [0, 0, -1] }
`;
    const stl = toStl(box([150, 30, 20]));
    const kit = writeKit(join(folder.path, 'plank'), text, { 'parts/plank.stl': stl });
    const before = statSync(join(kit, 'parts/plank.stl')).mtimeMs;
    expect((await check(kit)).findings.map(({ code }) => code)).toContain('outside-plate');
    const told = await splits(kit, '--part', 'plank');
    expect(told.code).toBe(0);
    const { now, splits: offered } = told.parts['plank']!;
    expect(now).toEqual({ turn: [0, 0, 0], fits: false, size_mm: [300, 60, 40] });
    const [best] = offered;
    expect(best).toMatchObject({
      toward: [1, 0, 0],
      fits: true,
      section_mm2: 2400,
      keys: 2,
      shown_seam_mm: 0,
    });
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(text);
    const wrote = await splits(kit, '--part', 'plank', '--write');
    expect(wrote.parts).toEqual(told.parts);
    expect(wrote.written).toEqual({ plank: { back: 'plank-a', front: 'plank-b', cut: 'plank-seam' } });
    const after = readFileSync(join(kit, 'kit.yaml'), 'utf8');
    expect(after).toContain('  plank-a:                # of the ladder\n');

    const { parts, findings } = await check(kit);
    expect(
      findings.map(({ code }) => code).filter((code) => /plate|tall|cut|key|opening|mesh|water/.test(code)),
    ).toEqual([]);
    const [a, b] = ['plank-a', 'plank-b'].map((name) => parts[name]!) as [
      CheckReport['parts'][string],
      CheckReport['parts'][string],
    ];
    expect(a!.mesh.size_mm).toEqual(best!.halves.back.size_mm);
    expect(b!.mesh.size_mm).toEqual(best!.halves.front.size_mm);
    expect(a!.mesh.cuts).toMatchObject([{ name: 'plank-seam', side: 'back', made: true, section_mm2: 2400 }]);
    expect(a!.mesh.cuts[0]!.keys.map(({ at_source }) => at_source)).toEqual(
      b!.mesh.cuts[0]!.keys.map(({ at_source }) => at_source),
    );
    expect(a!.hollow.chambers.map(({ openings }) => openings)).toEqual([['vents/0', 'drains/0']]);
    // 720 ml, two plugs more and two sockets less.
    expect(a!.mesh.volume_ml + b!.mesh.volume_ml).toBeCloseTo(720, 0);
    expect(a!.mesh.volume_ml + b!.mesh.volume_ml).toBeLessThan(720);

    const { out } = await kitwright(['make-ready', kit, '--json', '--even-with-errors']);
    const ready = JSON.parse(out) as ReadyReport;
    expect(ready.written.map(({ part }) => part).sort()).toEqual(['plank-a', 'plank-b']);
    expect(statSync(join(kit, 'parts/plank.stl')).mtimeMs).toBe(before);
    expect(new Uint8Array(readFileSync(join(kit, 'parts/plank.stl')))).toEqual(stl);
    // What fits is left alone.
    const again = await splits(kit, '--part', 'plank-a', '--write');
    expect([again.code, again.parts['plank-a']!.splits]).toEqual([0, []]);
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(after);
  }, 120_000);

  it('halves that hang are raised, turned and told with room for their supports', async () => {
    // Round all over: 76 mm wide in print, 98 mm with feet under a raised half of it.
    const kit = writeKit(
      join(folder.path, 'log'),
      `${head}  log: { file: parts/log.stl, wall: solid, turn: [0, 90, 0], raise: 1, supports: planned }\n`,
      { 'parts/log.stl': toStl(cylinder(19, 140)) },
    );
    const told = await splits(kit, '--part', 'log', '--write');
    expect(told.code).toBe(0);
    const [best] = told.parts['log']!.splits;
    expect([best!.fits, best!.fits_held]).toEqual([true, true]);
    for (const side of ['back', 'front'] as const) {
      const { size_mm, held_mm, raise_mm } = best!.halves[side];
      expect(raise_mm).toBe(3.2);
      for (const axis of [0, 1] as const) expect(held_mm[axis]).toBeGreaterThanOrEqual(size_mm[axis]);
      expect(Math.max(held_mm[0] - size_mm[0], held_mm[1] - size_mm[1])).toBeGreaterThan(8);
      expect(held_mm[0]).toBeLessThanOrEqual(188.001);
      expect(held_mm[1]).toBeLessThanOrEqual(116.001);
    }
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8').match(/raise: [\d.]+/g)).toEqual([
      'raise: 3.2',
      'raise: 3.2',
    ]);
    const { findings } = await check(kit);
    expect(findings.map(({ code }) => code)).not.toContain('raft-meets-part');
  }, 120_000);

  it('too long for one cut: exit 1, and the halves can be cut again', async () => {
    const kit = writeKit(
      join(folder.path, 'mast'),
      `${head}  mast: { file: parts/mast.stl, wall: solid }\n`,
      {
        'parts/mast.stl': toStl(box([240, 20, 20])),
      },
    );
    expect((await splits(kit, '--part', 'mast', '--write')).code).toBe(1);
    const second = await splits(kit, '--part', 'mast-a', '--part', 'mast-b', '--write');
    expect(second.code).toBe(0);
    const { parts, findings } = await check(kit);
    expect(Object.keys(parts)).toEqual(['mast-a-a', 'mast-a-b', 'mast-b-a', 'mast-b-b']);
    expect(findings.filter(({ code }) => /plate|tall|cut|key/.test(code))).toEqual([]);
    for (const part of Object.values(parts)) expect(part!.mesh.cuts).toHaveLength(2);
  }, 60_000);

  it('says where a turn would do, and what cannot be cut', async () => {
    const text = `${head}  pole: { file: parts/pole.stl, wall: solid }\n  scraps: { file: parts/scraps.stl, wall: solid }\n  gone: { file: parts/gone.stl }\n`;
    const kit = writeKit(join(folder.path, 'pole'), text, {
      'parts/pole.stl': toStl(box([98, 10, 10])),
      'parts/scraps.stl': toStl({
        positions: joined(box(10), transformed(box(10), { shift: [200, 0, 0] })).positions,
        triangles: Uint32Array.of(0, 1, 2, 8, 9, 10),
      }),
    });
    const { parts, failed, code } = await splits(kit, '--part', 'pole', '--part', 'scraps', '--part', 'gone');
    expect(parts['pole']!.whole_fits_turned).toEqual([0, 90, 0]);
    expect(failed.map(({ part }) => part)).toEqual(['scraps', 'gone']);
    expect(code).toBe(1);
    const { out } = await kitwright(['propose', 'split', kit, '--part', 'pole']);
    expect(out).toContain('Turned to [0, 90, 0] it fits without a cut');
    expect(out).toContain('room for 2 keys of 6 mm');
    for (const args of [[kit], [kit, '--part', 'no'], [kit, '--part', 'pole', '--write=1']])
      expect((await kitwright(['propose', 'split', ...args])).code).toBe(2);
  }, 60_000);
});

it('a light through a plank runs on in both halves: keys keep off it, both are named, nothing is said of it', async () => {
  const text = `${head}  plank: { file: parts/plank.stl, wall: solid }
lights:
  wire: { path: [[-80, 0, 0], [80, 0, 0]], diameter: 6, through: [plank] }   # to the lamp
`;
  const kit = writeKit(join(folder.path, 'lit'), text, { 'parts/plank.stl': toStl(box([150, 30, 20])) });
  const told = await splits(kit, '--part', 'plank', '--write');
  expect(told.parts['plank']!.splits[0]).toMatchObject({
    toward: [1, 0, 0],
    keys: 2,
    lights: [{ light: 'wire', halves: ['back', 'front'], angle_deg: 90 }],
  });
  expect(told.parts['plank']!.splits[0]!.why).toContain('cuts the light wire (90 °)');
  expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toContain(
    'through: [plank-a, plank-b] }   # to the lamp',
  );
  const { findings, parts, lights } = await check(kit);
  expect(findings.filter(({ code }) => /^light|key|seam/.test(code))).toEqual([]);
  expect(lights['wire']!.passes.map(({ part }) => part)).toEqual(['plank-a', 'plank-b']);
  for (const half of ['plank-a', 'plank-b']) {
    const { keys } = parts[half]!.mesh.cuts[0]!;
    expect(keys).toHaveLength(2);
    // Half of the key's 6 mm, clearance and wall, and the tube's 3; source units are 2 mm.
    for (const { at_source } of keys)
      expect(2 * Math.hypot(at_source[1], at_source[2])).toBeGreaterThan(3 + 0.15 + 1.5 + 3);
  }
}, 240_000);

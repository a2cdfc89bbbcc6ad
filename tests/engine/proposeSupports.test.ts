import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import type { KitSupports } from '../../src/protocol/engineApi.ts';
import { box, toStl } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

it('plans what hangs, leaves what stands and, unless it is named, what is to have none', async () => {
  const kit = writeKit(
    join(folder.path, 'kit'),
    `${manifestHead}parts:
  stands: { file: parts/block.stl, wall: solid }
  hangs: { file: parts/block.stl, wall: solid, raise: 1 }   # low
  bare: { file: parts/block.stl, wall: solid, raise: 5, supports: none }
`,
    { 'parts/block.stl': toStl(box(20)) },
  );
  const propose = async (...args: string[]) => {
    const { out, err, code } = await kitwright(['propose', 'supports', kit, ...args]);
    expect(code, err).toBe(0);
    return out;
  };
  const before = readFileSync(join(kit, 'kit.yaml'), 'utf8');
  const { parts } = JSON.parse(await propose('--json')) as KitSupports;
  expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(before);
  expect(parts['stands']).toMatchObject({ steps: [], supports: null, unmet: [] });
  expect(parts['hangs']!.steps).toMatchObject([
    { key: 'supports', value: 'planned' },
    { key: 'raise', was: 1, value: 3.2 },
  ]);
  expect(parts['hangs']!.supports!.reserve).toBeGreaterThanOrEqual(1);
  expect(parts['hangs']!.unmet).toEqual([]);
  expect(parts['bare']).toMatchObject({ steps: [], supports: null, unmet: [{ code: 'needs-supports' }] });

  const told = await propose('--write');
  expect(told).toContain('stands: stands by itself\n');
  expect(told).toContain('bare: without supports\n');
  expect(told).toContain('Written into kit.yaml.');
  const written = readFileSync(join(kit, 'kit.yaml'), 'utf8');
  expect(written).toContain(
    'hangs: { file: parts/block.stl, wall: solid, raise: 3.2, supports: planned }   # low',
  );
  expect(written).toContain('supports: none');
  expect(await propose('--write')).toContain('Nothing to write.');
  await propose('--part', 'bare', '--write');
  expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).not.toContain('supports: none');
}, 120_000);

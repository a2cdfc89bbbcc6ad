import { cpSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import { expectedFindings } from '../setup/expectedFindings.ts';
import { kitwright, root, temporaryFolder } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

it('each part of the sample kit teaches its lesson, and the torso has no fault', async () => {
  const kit = join(folder.path, 'sample');
  cpSync(join(root, 'sample-workspace'), kit, {
    recursive: true,
    filter: (path) => !path.includes('.kitwright'),
  });
  const { out, err, code } = await kitwright(['check', kit, '--json']);
  expect(code, err).toBe(1);
  const { parts, joints, assembled, lights, findings } = JSON.parse(out) as CheckReport;
  const codesOf = (part: string) => findings.filter((one) => one.part === part).map((one) => one.code);
  for (const [part, expected] of Object.entries(expectedFindings)) {
    const missing = expected.filter((one) => !codesOf(part).includes(one));
    expect(missing, part).toEqual([]);
  }
  expect(codesOf('torso')).toEqual([]);
  expect(Object.keys(parts)).not.toContain('lamp-post');
  // What seats on his neck fits, the figure is put together, and a light leads through three parts.
  const fits = joints.filter(({ socket }) => socket === 'head' || socket === 'cap');
  expect(fits.map(({ plug }) => plug).sort()).toEqual(['head', 'torso']);
  for (const { slide } of fits) expect(slide!.q05_mm).toBeGreaterThan(0.1);
  expect(assembled!.stands_on).toContain('base');
  const passed = lights['lantern']!.passes.map(({ part }) => part);
  expect([...new Set(passed)]).toEqual(['torso', 'raised-arm', 'lantern']);
}, 300_000);

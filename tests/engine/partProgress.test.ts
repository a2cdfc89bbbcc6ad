import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import type { Finding } from '../../src/core/kit/finding.ts';
import { startEngine } from '../../src/worker/engineClient.ts';
import { sphere, toStl } from '../shapes.ts';
import { manifestHead, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
const engine = startEngine(join(root, 'dist/engine.mjs'));
afterAll(() => {
  engine.dispose();
  folder.remove();
});

const unnumbered = (findings: readonly Finding[]) =>
  findings.map(({ number: _, ...rest }) => JSON.stringify(rest)).sort();

it('tells what is found about each part as it is done, the missing one included', async () => {
  const manifest = `${manifestHead}parts:
  globe: { file: parts/globe.stl, vents: [{ at: [6, 0, -19.08], diameter: 6, depth: 5 }] }
  lantern: { file: parts/lantern.stl }
  cap: { file: parts/cap.stl }
`;
  const kitDir = writeKit(join(folder.path, 'kit'), manifest, {
    'parts/globe.stl': toStl(sphere(20, 96)),
    'parts/cap.stl': toStl(sphere(12, 64)),
  });
  const found = new Map<string, readonly Finding[]>();
  const reported = new Map<string, boolean>();
  const report = await engine.call(
    'check',
    { kitDir, manifestText: null, parts: null, noCache: false },
    {
      onProgress: (progress) => {
        if (progress.kind !== 'part') return;
        found.set(progress.part, progress.findings);
        reported.set(progress.part, progress.report !== null);
      },
    },
  );
  expect(Object.fromEntries(reported)).toEqual({ globe: true, lantern: false, cap: true });
  expect(found.get('lantern')!.map(({ code }) => code)).toEqual(['file-missing']);
  for (const part of ['globe', 'cap']) {
    const ofPart = report.findings.filter((finding) => finding.part === part);
    expect(ofPart.length).toBeGreaterThan(0);
    expect(unnumbered(found.get(part)!)).toEqual(unnumbered(ofPart));
  }
});

it('begins with the first part of the manifest and goes on in its order', async () => {
  const names = Array.from({ length: 8 }, (_, n) => `part ${n}`);
  const manifest = `${manifestHead}parts:\n${names.map((name) => `  ${name}: { file: ${name}.stl, wall: solid }\n`).join('')}`;
  const kitDir = writeKit(
    join(folder.path, 'order'),
    manifest,
    Object.fromEntries(names.map((name, n) => [`${name}.stl`, toStl(sphere(10 + n, 48))])),
  );
  const begun: string[] = [];
  await engine.call(
    'check',
    { kitDir, manifestText: null, parts: null, noCache: false },
    {
      onProgress: ({ kind, part }) => {
        if (kind === 'stage' && !begun.includes(part)) begun.push(part);
      },
    },
  );
  expect([...begun].sort()).toEqual(names);
  // Threads work side by side, so the first word of one may come before that of the one before.
  const ahead = begun.map((name, at) => names.indexOf(name) - at);
  expect(Math.max(...ahead)).toBeLessThan(availableParallelism());
}, 240_000);

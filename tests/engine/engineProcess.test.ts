import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { EngineProgress } from '../../src/protocol/engineApi.ts';
import type { RpcError } from '../../src/protocol/rpc.ts';
import { type EngineClient, startEngine } from '../../src/worker/engineClient.ts';
import { sphere, toStl } from '../shapes.ts';
import { manifestHead, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
const manifest = `${manifestHead}parts:
  globe:
    file: parts/globe.stl
    vents:
      - { at: [6, 0, -19.08], diameter: 6, depth: 5 }
`;
let engine: EngineClient;
let kitDir: string;
beforeAll(() => {
  kitDir = writeKit(join(folder.path, 'kit'), manifest, { 'parts/globe.stl': toStl(sphere(20, 96)) });
  engine = startEngine(join(root, 'dist/engine.mjs'));
});
afterAll(() => {
  engine.dispose();
  folder.remove();
});

const codeOf = (call: Promise<unknown>): Promise<string> =>
  call.then(
    () => 'no error',
    (error: RpcError) => error.failure.code,
  );

it('sends a part as typed arrays: outside, cavity, openings, flags and strata of every layer', async () => {
  const stages = new Set<string>();
  const view = await engine.call(
    'view',
    { source: { of: 'kit', kitDir, manifestText: null, part: 'globe' }, noCache: true },
    { onProgress: (progress: EngineProgress) => progress.kind === 'stage' && stages.add(progress.stage) },
  );
  expect(view.outer.positions).toBeInstanceOf(Float32Array);
  expect(view.outer.fullTriangles).toBe(view.outer.triangles.length / 3);
  expect(view.cavity!.triangles.length).toBeGreaterThan(3000);
  expect(view.openings).toHaveLength(1);
  expect(Math.abs(view.openings[0]!.boreMm - 1.5)).toBeLessThan(0.3);
  expect(view.strata.areaMm2).toHaveLength(800);
  expect(Math.max(...view.strata.cupAreaMm2)).toBeCloseTo(Math.PI * 18.5 ** 2, -1);
  expect(view.flags.map(({ code }) => code)).toContain('single-opening');
  expect([...stages]).toEqual(expect.arrayContaining(['hollowing', 'casting rays', 'reading layers']));
});

it('judges the text in the editor, not the one on disk', async () => {
  const wider = manifest.replace('diameter: 6', 'diameter: 9');
  const params = { kitDir, parts: null, noCache: false };
  const [saved, unsaved] = await Promise.all([
    engine.call('check', { ...params, manifestText: null }),
    engine.call('check', { ...params, manifestText: wider }),
  ]);
  const resin = (report: typeof saved): number => report.parts['globe']!.hollow.resin_ml;
  expect(resin(unsaved)).toBeLessThan(resin(saved));
});

it('answers an unknown part and an unreadable kit with a code', async () => {
  const source = { of: 'kit', kitDir, manifestText: null, part: 'hat' } as const;
  expect(await codeOf(engine.call('view', { source, noCache: false }))).toBe('part-unknown');
  const nowhere = join(folder.path, 'nowhere');
  expect(
    await codeOf(engine.call('check', { kitDir: nowhere, manifestText: null, parts: null, noCache: false })),
  ).toBe('manifest-unreadable');
});

it('cancels work in a busy thread and goes on answering', async () => {
  const big = writeKit(join(folder.path, 'big'), manifest, { 'parts/globe.stl': toStl(sphere(58, 500)) });
  const controller = new AbortController();
  const call = engine.call(
    'check',
    { kitDir: big, manifestText: null, parts: null, noCache: true },
    {
      signal: controller.signal,
      onProgress: (progress) =>
        progress.kind === 'stage' && progress.stage === 'hollowing' && controller.abort(),
    },
  );
  expect(await codeOf(call)).toBe('cancelled');
  const report = await engine.call('check', { kitDir, manifestText: null, parts: null, noCache: false });
  expect(Object.keys(report.parts)).toEqual(['globe']);
});

it('rejects what was open when it is shut down', async () => {
  const short = startEngine(join(root, 'dist/engine.mjs'));
  const params = { kitDir, manifestText: null, parts: null, noCache: true };
  const call = codeOf(short.call('check', params));
  setTimeout(() => short.dispose(), 300);
  expect(await call).toBe('engine-stopped');
});

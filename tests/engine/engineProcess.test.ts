import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { transformMesh } from '../../src/core/affine.ts';
import { unpackSurface } from '../../src/core/surface/unpackSurface.ts';
import type { ViewProgress } from '../../src/protocol/engineApi.ts';
import type { PartView } from '../../src/protocol/partView.ts';
import type { RpcError } from '../../src/protocol/rpc.ts';
import { type CompletedLevel, openSurfaceAssembly } from '../../src/protocol/surfaceAssembly.ts';
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

interface Shown {
  readonly view: PartView;
  readonly surfaces: Map<string, CompletedLevel[]>;
  /** What came, in order, each kind once in a row. */
  readonly order: readonly string[];
  readonly stages: ReadonlySet<string>;
}

/** Asks for a view as the host does and puts everything together that comes. */
async function viewOf(text: string | null, held: readonly string[], noCache = false): Promise<Shown> {
  const assembly = openSurfaceAssembly();
  const surfaces = new Map<string, CompletedLevel[]>();
  const stages = new Set<string>();
  const order: string[] = [];
  let view: PartView | null = null;
  const source = { of: 'kit', kitDir, manifestText: text, part: 'globe' } as const;
  const onProgress = (progress: ViewProgress): void => {
    if (order.at(-1) !== progress.kind) order.push(progress.kind);
    if (progress.kind === 'stage') stages.add(progress.stage);
    if (progress.kind === 'view') view = progress.view;
    if (progress.kind !== 'surface') return;
    const level = assembly.add(progress.piece);
    if (level === null) return;
    surfaces.set(level.key, [...(surfaces.get(level.key) ?? []), level]);
  };
  expect(await engine.call('view', { source, held, noCache }, { onProgress })).toBeNull();
  return { view: view!, surfaces, order, stages };
}

it('sends a part: a picture, then openings, flags and strata of every layer, then the refined surfaces', async () => {
  const { view, surfaces, order, stages } = await viewOf(null, [], true);
  expect(order.indexOf('scene')).toBeGreaterThan(-1);
  expect(order.indexOf('surface')).toBeLessThan(order.indexOf('view'));
  expect(order.lastIndexOf('surface')).toBeGreaterThan(order.indexOf('view'));
  for (const [key, radius] of [
    [view.outer, 20],
    [view.cavity!, 18.5],
  ] as const) {
    const levels = surfaces.get(key)!;
    expect(levels.map(({ refined }) => refined)).toEqual(expect.arrayContaining([false, true]));
    const finest = levels.at(-1)!;
    expect(finest.last).toBe(true);
    expect(finest.surface!.triangleCount).toBe(finest.fullTriangles);
    const { positions } = transformMesh(unpackSurface(finest.surface!), view.toPrint);
    const heights = positions.filter((_, i) => i % 3 === 2);
    // The ball stands on the plate, and its hollow 1.5 mm above it, to the wall's own accuracy.
    expect(Math.abs(Math.min(...heights) - (20 - radius))).toBeLessThan(0.05);
  }
  expect(view.openings).toHaveLength(1);
  expect(Math.abs(view.openings[0]!.boreMm - 1.5)).toBeLessThan(0.3);
  expect(view.strata.areaMm2).toHaveLength(800);
  expect(Math.max(...view.strata.cupAreaMm2)).toBeCloseTo(Math.PI * 18.5 ** 2, -1);
  expect(view.flags.map(({ code }) => code)).toContain('single-opening');
  expect([...stages]).toEqual(expect.arrayContaining(['hollowing', 'reading layers']));
});

it('sends no surface twice: not at an edited opening, a turn, another wall’s outside', async () => {
  const first = await viewOf(null, []);
  const held = [first.view.outer, first.view.cavity!];
  const moved = await viewOf(manifest.replace('diameter: 6', 'diameter: 8'), held);
  expect(moved.surfaces.size).toBe(0);
  expect(moved.order).not.toContain('scene');
  expect([moved.view.outer, moved.view.cavity]).toEqual(held);
  expect(moved.view.openings[0]!.radius).toBe(4);

  const turned = await viewOf(manifest.replace('globe.stl', 'globe.stl\n    turn: [0, 90, 0]'), held);
  expect(turned.surfaces.size).toBe(0);
  expect(turned.view.toPrint.linear).not.toEqual(first.view.toPrint.linear);

  const thicker = await viewOf(manifest.replace('globe.stl', 'globe.stl\n    wall: 3'), held);
  expect(thicker.view.outer).toBe(held[0]);
  expect([...thicker.surfaces.keys()]).toEqual([thicker.view.cavity]);
});

it('shows a part that was opened before out of the cache, refined at once', async () => {
  await viewOf(null, []);
  const { view, surfaces, order } = await viewOf(null, []);
  expect(order.filter((kind) => kind !== 'stage')).toEqual(['surface', 'view']);
  for (const key of [view.outer, view.cavity!]) {
    expect(surfaces.get(key)!.every(({ refined }) => refined)).toBe(true);
  }
});

it('remembers that a part has no hollow', async () => {
  const full = manifest.replace('globe.stl', 'globe.stl\n    wall: 19.9');
  const { view, surfaces } = await viewOf(full, []);
  expect(surfaces.get(view.cavity!)!.map(({ surface, last }) => ({ surface, last }))).toEqual([
    { surface: null, last: true },
  ]);
  const again = await viewOf(full, []);
  expect(again.order).not.toContain('scene');
  expect([...again.stages]).not.toContain('preparing the picture');
  expect([...again.stages]).not.toContain('hollowing');
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
  expect(await codeOf(engine.call('view', { source, held: [], noCache: false }))).toBe('part-unknown');
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

import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { unpackSurface } from '../../src/core/surface/unpackSurface.ts';
import { type CompletedLevel, openSurfaceAssembly } from '../../src/protocol/surfaceAssembly.ts';
import { startEngine } from '../../src/worker/engineClient.ts';
import { box, icosphere, toStl, transformed } from '../shapes.ts';
import { manifestHead, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
const engine = startEngine(join(root, 'dist/engine.mjs'));
afterAll(() => {
  engine.dispose();
  folder.remove();
});

const manifest = `${manifestHead.replace('factor: 1', 'factor: 2')}cuts:
  waist: { at: [40, 0, 0], toward: [0, 0, 1], keys: 0 }
parts:
  globe: { file: parts/globe.stl, turn: [0, 90, 0], raise: 5 }
  above: { file: parts/crate.stl, cut: { waist: front } }
  below: { file: parts/crate.stl, cut: { waist: back } }
  twin: { file: parts/globe.stl }
  lost: { file: parts/lost.stl }
`;

interface Drawn {
  readonly shapes: Record<string, string>;
  readonly lost: Record<string, string>;
  readonly levels: Map<string, CompletedLevel>;
  readonly stages: readonly string[];
}

async function surfacesOf(kitDir: string, held: readonly string[]): Promise<Drawn> {
  const assembly = openSurfaceAssembly();
  const drawn = { shapes: {}, lost: {}, levels: new Map(), stages: [] as string[] } as {
    -readonly [K in keyof Drawn]: Drawn[K];
  } & { stages: string[] };
  await engine.call(
    'kitSurfaces',
    { kitDir, manifestText: null, held, noCache: false },
    {
      onProgress(progress) {
        if (progress.kind === 'shape') drawn.shapes[progress.part] = progress.key;
        else if (progress.kind === 'shapeless') drawn.lost[progress.part] = progress.message;
        else if (progress.kind === 'stage') drawn.stages.push(progress.stage);
        if (progress.kind !== 'surface') return;
        const level = assembly.add(progress.piece);
        if (level !== null) drawn.levels.set(level.key, level);
      },
    },
  );
  return drawn;
}

const extent = ({ surface }: CompletedLevel, axis: number): readonly [number, number] => {
  const values = unpackSurface(surface!).positions.filter((_, at) => at % 3 === axis);
  return [Math.min(...values), Math.max(...values)];
};

it('gives the light outside of every part where it was sculpted, at finished size, whatever its pose', async () => {
  const kitDir = writeKit(join(folder.path, 'kit'), manifest, {
    'parts/globe.stl': toStl(transformed(icosphere(20, 6), { shift: [-30, 0, 10] })),
    'parts/crate.stl': toStl(transformed(box(20), { shift: [40, 0, 0] })),
  });
  const first = await surfacesOf(kitDir, []);
  expect(Object.keys(first.shapes).sort()).toEqual(['above', 'below', 'globe', 'twin']);
  expect(first.lost['lost']).toContain('parts/lost.stl');
  // One surface for both that are the same file.
  expect(first.shapes['twin']).toBe(first.shapes['globe']);
  expect(first.levels.size).toBe(3);
  const globe = first.levels.get(first.shapes['globe']!)!;
  // 81 920 facets, drawn with some 10 000, as `firstSurface` wants it; a ball of 40 mm round (−60, 0, 20).
  expect(globe.fullTriangles).toBe(81_920);
  expect(globe.surface!.triangleCount).toBeLessThan(20_000);
  for (const [axis, middle] of [-60, 0, 20].entries()) {
    const [low, high] = extent(globe, axis);
    expect(Math.abs(low - (middle - 40))).toBeLessThan(globe.surface!.errorMm + 0.01);
    expect(Math.abs(high - (middle + 40))).toBeLessThan(globe.surface!.errorMm + 0.01);
  }
  const ends = (part: string) =>
    extent(first.levels.get(first.shapes[part]!)!, 2).map((z) => Math.round(100 * z) / 100);
  // A cube of 40 mm, parted at z = 0: the front half lies on the side that the plane looks toward.
  expect([ends('above'), ends('below')]).toEqual([
    [0, 20],
    [-20, 0],
  ]);

  const again = await surfacesOf(kitDir, []);
  expect(again.shapes).toEqual(first.shapes);
  expect(again.levels.get(first.shapes['globe']!)!.surface!.vertices).toEqual(globe.surface!.vertices);
  // Out of the cache: only the lost one is looked for.
  expect(new Set(again.stages)).toEqual(new Set(['reading']));
  const held = await surfacesOf(kitDir, Object.values(first.shapes));
  expect([held.shapes, held.levels.size]).toEqual([first.shapes, 0]);
}, 120_000);

it('says of every part that it cannot be drawn where the scale is missing', async () => {
  const kitDir = writeKit(join(folder.path, 'scaleless'), 'parts:\n  a: { file: a.stl }\n', {});
  const { shapes, lost } = await surfacesOf(kitDir, []);
  expect([shapes, Object.keys(lost)]).toEqual([{}, ['a']]);
});

import { build } from 'esbuild';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { uninterrupted } from '../../src/core/interrupter.ts';
import { massProperties } from '../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import type { PackedObject } from '../../src/pipeline/pack3mf.ts';
import { write3mf } from '../../src/pipeline/write3mf.ts';
import { findChromium } from '../browser.ts';
import * as shapes from '../shapes.ts';
import { launchBrowser } from './harness.ts';

/* Ready packages opened by a general-purpose reader: three's 3MFLoader, which needs a browser's DOMParser. */

const reader = `
import { ThreeMFLoader } from 'three/examples/jsm/loaders/3MFLoader.js';
window.open3mf = (bytes) => {
  const meshes = [];
  const group = new ThreeMFLoader().parse(Uint8Array.from(bytes).buffer);
  group.updateMatrixWorld(true);
  group.traverse((object) => {
    if (!object.isMesh) return;
    const geometry = object.geometry.clone().applyMatrix4(object.matrixWorld);
    const names = [];
    for (let at = object; at; at = at.parent) if (at.name) names.push(at.name);
    meshes.push({ names, positions: [...geometry.attributes.position.array], index: geometry.index ? [...geometry.index.array] : null });
  });
  return meshes;
};`;

interface Opened {
  readonly names: readonly string[];
  readonly positions: readonly number[];
  readonly index: readonly number[] | null;
}

const meshIn = ({ positions, index }: Opened): Mesh =>
  shapes.meshOf(positions, index ?? positions.slice(0, positions.length / 3).map((_, n) => n));

describe.skipIf(findChromium() === null)('a ready package in three’s loader', () => {
  let browser: Browser;
  let script: string;
  beforeAll(async () => {
    browser = await launchBrowser();
    const built = await build({
      stdin: { contents: reader, resolveDir: '.' },
      bundle: true,
      write: false,
      format: 'iife',
      logLevel: 'silent',
    });
    script = built.outputFiles[0]!.text;
  });
  afterAll(() => browser.close());

  async function opened(objects: readonly PackedObject[]): Promise<Opened[]> {
    const page = await browser.newPage();
    const problems: string[] = [];
    page.on('console', (message) => problems.push(message.text()));
    await page.addScriptTag({ content: script });
    const meshes = await page.evaluate(
      (bytes) => (globalThis as unknown as { open3mf(bytes: number[]): Opened[] }).open3mf(bytes),
      [...Buffer.concat([...write3mf(objects, uninterrupted)])],
    );
    await page.close();
    expect(problems).toEqual([]);
    return meshes;
  }

  const part = shapes.join(
    shapes.transformed(shapes.icosphere(8, 3), { shift: [0, 0, 14] }),
    shapes.reversed(shapes.transformed(shapes.icosphere(6.5, 3), { shift: [0, 0, 14] })),
  );
  const supports = shapes.cone(2, 6.15, 16);

  test.each<[string, readonly PackedObject[]]>([
    ['one object', [{ mesh: part, name: 'globe "A" & <B>', type: 'model' }]],
    [
      'a part and its supports',
      [
        { mesh: part, name: 'globe', type: 'model' },
        { mesh: supports, name: 'globe-supports', type: 'solidsupport' },
      ],
    ],
  ])('%s: names, bounds and volumes are those of the meshes', async (_, objects) => {
    const meshes = await opened(objects);
    expect(meshes).toHaveLength(objects.length);
    for (const [n, { mesh, name }] of objects.entries()) {
      expect(meshes[n]!.names).toContain(name);
      const [read, written] = [meshIn(meshes[n]!), mesh].map((one) => massProperties(one, uninterrupted));
      expect(read!.bounds).toEqual(written!.bounds);
      expect(read!.volume).toBeCloseTo(written!.volume, 3);
    }
    if (objects.length > 1) for (const { names } of meshes) expect(names).toContain('globe, held');
  });
});

import { expect, test } from 'vitest';
import { thinPatches } from '../../../src/core/walls/thinPatches.ts';
import { random } from '../../shapes.ts';

/** By the rule alone: thin vertices, two rings of facets round them, and what hangs together in that. */
function byRule(triangles: number[][], thickness: Float32Array): number[] {
  let reached = new Set([...thickness.keys()].filter((v) => thickness[v]! < Infinity));
  for (let ring = 0; ring < 2; ring++)
    reached = new Set([...reached, ...triangles.filter((facet) => facet.some((v) => reached.has(v))).flat()]);
  const label: number[] = new Array(thickness.length).fill(-1);
  let count = 0;
  for (let v = 0; v < label.length; v++) {
    if (!reached.has(v) || label[v]! >= 0) continue;
    const open = [v];
    for (let at = open.pop(); at !== undefined; at = open.pop()) {
      if (label[at]! >= 0) continue;
      label[at] = count;
      for (const facet of triangles)
        if (facet.includes(at)) open.push(...facet.filter((u) => reached.has(u)));
    }
    count++;
  }
  return label;
}

test('thin vertices, their two rings and what hangs together, numbered as met: seeds 1 to 200', () => {
  let patches = 0;
  for (let seed = 1; seed <= 200; seed++) {
    const next = random(seed);
    const pick = (): number => Math.floor(60 * next());
    const triangles = Array.from({ length: 45 }, () => [pick(), pick(), pick()]);
    const thickness = Float32Array.from({ length: 60 }, () => (next() < 0.06 ? next() : Infinity));
    const { label, count } = thinPatches({ triangles: Uint32Array.from(triangles.flat()) }, thickness);
    const rule = byRule(triangles, thickness);
    expect([seed, ...label]).toEqual([seed, ...rule]);
    expect(count).toBe(Math.max(...rule) + 1);
    patches += count;
  }
  expect(patches).toBeGreaterThan(200);
});

import { expect, test } from 'vitest';
import { NEAR_FLAT_DEG } from '../../../src/core/walls/nearFlatRegions.ts';
import { reachRims } from '../../../src/core/walls/reachRims.ts';
import { random } from '../../shapes.ts';

type Axis = readonly [number, number, number];

function leaning(next: () => number, most: number): Axis {
  const [x, y] = [most * (2 * next() - 1), most * (2 * next() - 1)];
  return [x, y, Math.sqrt(1 - x * x - y * y)];
}

/** Six rounds over all edges, whatever the one before has changed. */
function byRounds(t: number[], normals: readonly Axis[], axes: readonly Axis[], labels: Int32Array): number {
  const least = Math.cos((NEAR_FLAT_DEG * Math.PI) / 180);
  const cosine = (region: number, v: number): number =>
    axes[region]![0] * Math.fround(normals[v]![0]) +
    axes[region]![1] * Math.fround(normals[v]![1]) +
    axes[region]![2] * Math.fround(normals[v]![2]);
  let lastChange = -1;
  for (let round = 0; round < 6; round++) {
    const before = labels.slice();
    t.forEach((u, corner) => {
      const v = t[corner % 3 === 2 ? corner - 2 : corner + 1]!;
      const region = before[u]!;
      if (region < 0 || labels[v] === region || cosine(region, v) < least) return;
      if (labels[v]! >= 0 && cosine(region, v) <= cosine(labels[v]!, v)) return;
      labels[v] = region;
      lastChange = round;
    });
  }
  return lastChange;
}

test('regions reach their rims as if every round went over all edges: seeds 1 to 200', () => {
  let late = 0;
  for (let seed = 1; seed <= 200; seed++) {
    const next = random(seed);
    const normals = Array.from({ length: 80 }, () => leaning(next, 0.18));
    const regions = Array.from({ length: 4 }, () => ({ axis: leaning(next, 0.08) }));
    const t = Array.from({ length: 3 * 60 }, () => Math.floor(80 * next()));
    const labels = Int32Array.from({ length: 80 }, () => (next() < 0.1 ? Math.floor(4 * next()) : -1));
    const rule = labels.slice();
    const lastChange = byRounds(
      t,
      normals,
      regions.map(({ axis }) => axis),
      rule,
    );
    reachRims(Uint32Array.from(t), { normals: Float32Array.from(normals.flat()) }, regions, labels);
    expect([seed, ...labels]).toEqual([seed, ...rule]);
    if (lastChange >= 3) late++;
  }
  expect(late).toBeGreaterThan(20);
});

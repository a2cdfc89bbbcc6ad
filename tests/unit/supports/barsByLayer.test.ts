import { expect, test } from 'vitest';
import { barsByLayer } from '../../../src/core/supports/barsByLayer.ts';
import { barsOfPlan, barsVolume } from '../../../src/core/supports/supportBodies.ts';
import { decision, planOf, table } from './supported.ts';

test('an upright bar has the same in every layer that it passes, a cone that of its own frustum', () => {
  const bar = { from: [3, 2, 10], to: [3, 2, 0.25], fromRadius: 1, toRadius: 1 } as const;
  const volumes = barsByLayer([bar], 120, 0.1);
  expect([volumes[0], volumes[1], volumes[2], volumes[100]]).toEqual([
    0,
    0,
    expect.closeTo(Math.PI * 0.05, 9),
    0,
  ]);
  for (let layer = 3; layer < 100; layer++) expect(volumes[layer]).toBeCloseTo(Math.PI * 0.1, 9);
  // A foot of 3 mm that leans out by 45°: at half its height, 0.6 mm, it is 3.6 mm wide.
  const foot = { from: [0, 0, 1.2], to: [0, 0, 0], fromRadius: 4.2, toRadius: 3 } as const;
  const lower = barsByLayer([foot], 2, 0.6)[0]!;
  expect(lower).toBeCloseTo((Math.PI / 3) * 0.6 * (9 + 3 * 3.6 + 3.6 ** 2), 9);
});

test('all layers together are the whole plan', () => {
  const bars = barsOfPlan(planOf(table), decision);
  const sum = barsByLayer(bars, 300, 0.1).reduce((total, volume) => total + volume, 0);
  expect(sum / barsVolume(bars)).toBeCloseTo(1, 9);
});

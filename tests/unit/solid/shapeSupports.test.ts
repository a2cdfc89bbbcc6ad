import { expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { massProperties } from '../../../src/core/mesh/massProperties.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { type Bar, barsVolume, supportBars } from '../../../src/core/supports/supportBodies.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { shapeSupports } from '../../../src/solid/shapeSupports.ts';
import { decision, planOf, table } from '../supports/supported.ts';

async function shaped(bars: readonly Bar[]) {
  const made = shapeSupports(await openSolid(), bars, uninterrupted);
  if (!made.ok) throw new Error(made.error.message);
  return made.value;
}
/** Of a polygon of 16 sides against its circle. */
const sixteen = (16 / (2 * Math.PI)) * Math.sin((2 * Math.PI) / 16);

test('a bar is a frustum between its two points, whichever way it leans', async () => {
  for (const to of [
    [0, 0, 7],
    [0, 0, -7],
    [3, -4, -5],
    [-6, 1, 2],
  ] as const) {
    const bar: Bar = {
      from: [10, 5, 20],
      to: [10 + to[0], 5 + to[1], 20 + to[2]],
      fromRadius: 0.2,
      toRadius: 0.6,
    };
    const { volume, bounds } = massProperties(await shaped([bar]), uninterrupted);
    const height = Math.hypot(...to);
    const expected = (Math.PI / 3) * height * (0.04 + 0.12 + 0.36) * sixteen;
    expect(volume).toBeCloseTo(expected, 4);
    expect(barsVolume([bar]) * sixteen).toBeCloseTo(expected, 6);
    expect(bounds.max[2]).toBeGreaterThanOrEqual(Math.max(20, 20 + to[2]) - 1e-3);
  }
});

test('the supports of a table are one closed solid that reaches from the plate into the part', async () => {
  const plan = planOf(table);
  const bars = plan.supports.flatMap((support) => supportBars(support, decision));
  const mesh = await shaped(bars);
  const { watertight, signedVolume, bounds } = reportTopology(mesh, uninterrupted);
  expect(watertight).toBe(true);
  expect(bounds.min[2]).toBeCloseTo(0, 5);
  expect(bounds.max[2]).toBeCloseTo(25.15, 5);
  // What bars share is counted for each.
  expect(signedVolume).toBeGreaterThan(0.5 * barsVolume(bars));
  expect(signedVolume).toBeLessThan(barsVolume(bars));
});

test('the raft leans out from its foot, by its angle', async () => {
  const support = planOf(table).supports[0]!;
  const foot = supportBars(support, { ...decision, raftLean: 30 }).at(-1)!;
  expect(foot.fromRadius - foot.toRadius).toBeCloseTo(1.2 * Math.tan(Math.PI / 6), 9);
  expect([foot.from[2], foot.to[2]]).toEqual([1.2, 0]);
});

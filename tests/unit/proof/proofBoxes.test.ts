import { describe, expect, test } from 'vitest';
import { boxRound, proofBoxes } from '../../../src/core/proof/proofBoxes.ts';
import type { ProofPlace } from '../../../src/core/proof/proofPlace.ts';
import type { Box, Vec3 } from '../../../src/core/vector.ts';

const place = (middle: Vec3, sides: Vec3, whole = true): ProofPlace => ({
  kind: 'opening',
  opening: 'vents/0',
  at: middle,
  feature: {
    min: middle.map((value, axis) => value - sides[axis]! / 2) as unknown as Vec3,
    max: middle.map((value, axis) => value + sides[axis]! / 2) as unknown as Vec3,
  },
  whole,
  why: '',
});

function boxesOf(...args: Parameters<typeof proofBoxes>) {
  const found = proofBoxes(...args);
  if (!found.ok) throw new Error(found.error.message);
  return found.value;
}

const holds = (outer: Box, inner: Box): boolean =>
  [0, 1, 2].every((axis) => outer.min[axis]! <= inner.min[axis]! && outer.max[axis]! >= inner.max[axis]!);

describe('the boxes of a piece', () => {
  test('are cubes of 30 mm that hold the feature, cut on layers, the first one about its middle', () => {
    const one = place([10, -5, 40.02], [6, 12, 8]);
    const { sizeMm, boxes, holdsAll } = boxesOf(one, null, 0.05);
    expect([sizeMm, holdsAll]).toEqual([30, true]);
    expect(boxes.length).toBeGreaterThan(3);
    expect(boxes[0]!.min.map((value) => Math.round(1000 * value) / 1000)).toEqual([-5, -20, 25]);
    for (const box of boxes) {
      expect(holds(box, one.feature)).toBe(true);
      for (const axis of [0, 1, 2]) expect(box.max[axis]! - box.min[axis]!).toBeCloseTo(30, 9);
      expect(box.min[2] / 0.05).toBeCloseTo(Math.round(box.min[2] / 0.05), 6);
    }
    const bottoms = boxes.map(({ min }) => min[2]);
    expect(bottoms).toEqual([...bottoms].sort((a, b) => a - b));
    expect(boxRound(boxes)).toEqual({ min: boxes[0]!.min, max: boxes.at(-1)!.max });
  });

  test('never reach below the plate', () => {
    const { boxes } = boxesOf(place([0, 0, 3], [6, 6, 4]), null, 0.05);
    expect(boxes[0]!.min[2]).toBe(0);
    expect(Math.max(...boxes.map(({ min }) => min[2]))).toBeCloseTo(1, 9);
  });

  test('grow with an opening that needs more, and refuse a size that does not hold it', () => {
    const wide = place([0, 0, 50], [41.3, 20, 20]);
    expect(boxesOf(wide, null, 0.05).sizeMm).toBe(42);
    const small = proofBoxes(wide, 41, 0.05);
    expect(small.ok ? '' : [small.error.code, small.error.message]).toEqual([
      'option-invalid',
      'A piece of 41 mm does not hold it with the walls round it: it takes 42 mm.',
    ]);
  });

  test('show a part of a ceiling that is wider than a piece', () => {
    const ceiling = { ...place([0, 0, 120], [140, 140, 6], false), kind: 'ceiling' as const };
    expect(boxesOf(ceiling, null, 0.05)).toMatchObject({ sizeMm: 90, holdsAll: false });
    expect(boxesOf(ceiling, 20, 0.05)).toMatchObject({ sizeMm: 20, holdsAll: false });
    expect(boxesOf(ceiling, 150, 0.05)).toMatchObject({ sizeMm: 150, holdsAll: true });
  });
});

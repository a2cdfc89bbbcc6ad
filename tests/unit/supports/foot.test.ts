import { expect, test } from 'vitest';
import { footRadius, footReserve, raftLip } from '../../../src/core/supports/foot.ts';

const plate = { plateHold: 100, safety: 1 };

test('a foot is as large as the plate must hold: F·S = hold · π·r²', () => {
  // 100 kPa over a radius of 5 mm: 7.854 N.
  expect(footRadius(2.5 * Math.PI, plate)).toBeCloseTo(5, 9);
  expect(footRadius(2.5 * Math.PI, { ...plate, safety: 2 })).toBeCloseTo(5 * Math.SQRT2, 9);
  expect(footReserve(2.5 * Math.PI, plate)).toBeCloseTo(1, 9);
});

test('it is never less than 3 mm nor more than 10 mm; then its reserve tells', () => {
  expect([footRadius(0.1, plate), footRadius(1000, plate)]).toEqual([3, 10]);
  expect(footReserve(0.9 * Math.PI, plate)).toBeCloseTo(1, 9);
  expect(footReserve(0.45 * Math.PI, plate)).toBeCloseTo(2, 9);
  expect(footReserve(20 * Math.PI, plate)).toBeCloseTo(0.5, 9);
});

test('the lip of the raft follows from its thickness and lean', () => {
  expect(raftLip({ raft: 2, raftLean: 45 })).toBeCloseTo(2, 9);
  expect(raftLip({ raft: 2, raftLean: 0 })).toBe(0);
});

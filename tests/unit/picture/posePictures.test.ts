import { decode } from 'fast-png';
import { expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { PoseFigures } from '../../../src/core/pose/poseFigures.ts';
import { posePictures } from '../../../src/pipeline/posePictures.ts';
import * as shapes from '../../shapes.ts';

const pose = (turn: readonly [number, number, number], raiseMm: number, held: number): PoseFigures =>
  ({ turn, raiseMm, fit: { heldMm: [held, held] } }) as unknown as PoseFigures;

/** Rows of a picture in which the part shows, which is lighter than the plate, and in which anything does. */
function rowsOf(png: Uint8Array): { readonly part: number; readonly all: number } {
  const { data } = decode(png);
  const rows = { part: new Set<number>(), all: new Set<number>() };
  for (let at = 0; at < data.length; at += 4) {
    if (data[at + 3]! < 255) continue;
    const row = Math.floor(at / 4 / 256);
    rows.all.add(row);
    // The plate's tone is blue: its red falls short of its blue by a tenth and more.
    if (data[at]! > 0.93 * data[at + 2]!) rows.part.add(row);
  }
  return { part: rows.part.size, all: rows.all.size };
}

test('a post lying down is as wide as it was tall, standing on as much plate as it takes, all at one scale', () => {
  const post = shapes.box([10, 10, 60]);
  const drawn = posePictures(
    post,
    [pose([0, 0, 0], 0, 20), pose([0, 90, 0], 0, 20), pose([0, 0, 0], 20, 20), pose([0, 0, 0], 0, 80)],
    uninterrupted,
  );
  const [up, lying, raised, wide] = drawn.map(rowsOf) as [
    ReturnType<typeof rowsOf>,
    ReturnType<typeof rowsOf>,
    ReturnType<typeof rowsOf>,
    ReturnType<typeof rowsOf>,
  ];
  expect(up.part / lying.part).toBeGreaterThan(1.8);
  // The same scale: a post that is raised is as tall, and the picture as a whole taller.
  expect(Math.abs(raised.part - up.part)).toBeLessThan(3);
  expect(raised.all - up.all).toBeGreaterThan(15);
  expect(wide.all).toBeGreaterThan(up.all);
  expect(posePictures(post, [], uninterrupted)).toEqual([]);
});

import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { rotationOf } from '../../../src/core/mesh/rotationOf.ts';
import { drawPicture, type Picture, type PictureShape } from '../../../src/core/picture/drawPicture.ts';
import { pictureBounds, spanOf } from '../../../src/core/picture/pictureBounds.ts';
import * as shapes from '../../shapes.ts';

const red = [255, 0, 0] as const;
const green = [0, 255, 0] as const;
const draw = (of: readonly PictureShape[], spanMm: number | null = null, pixels = 120): Picture =>
  drawPicture(of, pixels, spanMm, uninterrupted);

/** Covered area in pixels; those that a shape covers in part count in part. */
const covered = ({ data }: Picture): number =>
  data.reduce((sum, value, at) => sum + (at % 4 === 3 ? value / 255 : 0), 0);
const pixelAt = ({ data, pixels }: Picture, x: number, y: number): number[] => [
  ...data.subarray(4 * (y * pixels + x), 4 * (y * pixels + x) + 4),
];

describe('drawPicture', () => {
  test('a ball covers a disc that leaves the margin free, in the middle', () => {
    const picture = draw([{ mesh: shapes.icosphere(20, 5), tone: red }]);
    // 92 % of 120 pixels wide.
    expect(covered(picture) / (Math.PI * 55.2 ** 2)).toBeCloseTo(1, 2);
    expect(pixelAt(picture, 60, 60)[3]).toBe(255);
    for (const [x, y] of [
      [0, 0],
      [119, 0],
      [0, 119],
      [119, 119],
      [60, 2],
      [2, 60],
    ] as const)
      expect(pixelAt(picture, x, y)).toEqual([0, 0, 0, 0]);
  });

  test('twice the span is half as large, and the span of bounds fills the picture', () => {
    const ball: PictureShape = { mesh: shapes.icosphere(20, 5), tone: red };
    expect(spanOf(pictureBounds([ball]))).toBeCloseTo(40, 1);
    expect(covered(draw([ball], 80)) / covered(draw([ball], 40))).toBeCloseTo(1 / 4, 2);
  });

  test('the light comes from above: a box shows its top lighter than its front, and that than its side', () => {
    const picture = draw([{ mesh: shapes.box([40, 40, 40]), tone: red }]);
    const [top, front, side] = [
      pixelAt(picture, 60, 22),
      pixelAt(picture, 40, 75),
      pixelAt(picture, 100, 75),
    ];
    expect(top[0]! - front[0]!).toBeGreaterThan(10);
    expect(front[0]! - side[0]!).toBeGreaterThan(10);
    expect([top[3], front[3], side[3]]).toEqual([255, 255, 255]);
    // Sharp edges stay sharp: one shade over each face.
    expect(pixelAt(picture, 25, 60)).toEqual(pixelAt(picture, 55, 90));
  });

  test('what is nearer hides what is behind it, whichever comes first', () => {
    const near: PictureShape = {
      mesh: shapes.transformed(shapes.box(10), { shift: [0, -30, 0] }),
      tone: green,
    };
    const far: PictureShape = { mesh: shapes.box([60, 10, 60]), tone: red };
    for (const order of [
      [near, far],
      [far, near],
    ]) {
      const { data } = draw(order);
      let [reds, greens] = [0, 0];
      for (let at = 0; at < data.length; at += 4) {
        if (data[at]! > 0 && data[at + 1] === 0) reds++;
        if (data[at + 1]! > 0 && data[at] === 0) greens++;
      }
      expect(greens).toBeGreaterThan(100);
      expect(reds).toBeGreaterThan(1000);
    }
    const hidden = draw([{ ...near, mesh: shapes.transformed(shapes.box(10), { shift: [0, 30, 0] }) }, far]);
    const greenest = hidden.data.reduce(
      (most, value, at) => (at % 4 === 1 ? Math.max(most, value) : most),
      0,
    );
    expect(greenest).toBe(0);
  });

  test('a frame draws what the moved mesh would be', () => {
    const turn = [30, 40, 50] as const;
    const mesh = shapes.join(
      shapes.box([40, 20, 10]),
      shapes.transformed(shapes.cone(5, 20), { shift: [0, 0, 15] }),
    );
    const moved = draw([
      { mesh: shapes.transformed(mesh, { turn: [...turn], shift: [3, 4, 5] }), tone: red },
    ]);
    const framed = draw([{ mesh, tone: red, frame: { linear: [...rotationOf(turn)], shift: [3, 4, 5] } }]);
    expect(covered(framed)).toBeGreaterThan(1000);
    const off = framed.data.filter((value, at) => Math.abs(value - moved.data[at]!) > 3).length;
    // Samples on an edge may fall to either side.
    expect(off / framed.data.length).toBeLessThan(0.002);
  });

  test('nothing gives a clear picture; the same shapes the same bytes', () => {
    expect(covered(draw([]))).toBe(0);
    expect(covered(draw([{ mesh: shapes.meshOf([], []), tone: red }]))).toBe(0);
    const torus: PictureShape[] = [{ mesh: shapes.torus(20, 6), tone: red }];
    expect(draw(torus).data).toEqual(draw(torus).data);
  });

  test('it hears a cancel', () => {
    const cancelled = () =>
      drawPicture([{ mesh: shapes.box(3), tone: red }], 16, null, () => {
        throw new Error('cancelled');
      });
    expect(cancelled).toThrow('cancelled');
  });
});

import { decode } from 'fast-png';
import { strFromU8, unzipSync } from 'fflate';
import { expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { pieces3mf } from '../../../src/pipeline/pieces3mf.ts';
import { write3mf } from '../../../src/pipeline/write3mf.ts';
import { box, icosphere } from '../../shapes.ts';

const bytesOf = (pieces: Iterable<Uint8Array>): Uint8Array => Buffer.concat([...pieces]);
const modelOf = (bytes: Uint8Array): string => strFromU8(unzipSync(bytes)['3D/3dmodel.model']!);
const items = [
  { name: 'a & "b"', type: 'model', mesh: icosphere(5, 5), place: { at: [10, -20], spin: 90 } },
  { name: 'c', type: 'solidsupport', mesh: box(4), place: { at: [0, 0], spin: 0 } },
] as const;
const object = /<object[\s\S]*?<\/object>/g;

it('several meshes in one package are each what they are in one of their own', () => {
  const model = modelOf(bytesOf(pieces3mf(items, [-96, -60], uninterrupted)));
  const objects = model.match(object)!;
  expect(objects).toHaveLength(2);
  for (const [n, one] of items.entries()) {
    const alone = modelOf(bytesOf(write3mf([one], uninterrupted))).match(object)![0]!;
    expect(objects[n]!.replace(`id="${n + 1}"`, 'id="1"')).toBe(alone);
  }
  expect(model.match(/<item .*?\/>/g)).toEqual([
    // x to y, y to −x, then 96 + 10 and 60 − 20 from the corner.
    '<item objectid="1" transform="0 1 0 -1 0 0 0 0 1 106 40 0"/>',
    '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 96 60 0"/>',
  ]);
});

it('its thumbnail shows each where it stands', () => {
  const ball = { name: 'a', type: 'model', mesh: icosphere(5, 3) } as const;
  const post = { name: 'b', type: 'solidsupport', mesh: box([2, 2, 2]) } as const;
  const sides = (postX: number): { readonly left: boolean; readonly right: boolean } => {
    const at = (x: number) => ({ at: [x, 0], spin: 0 }) as const;
    const placed = [
      { ...ball, place: at(0) },
      { ...post, place: at(postX) },
    ];
    const zip = unzipSync(bytesOf(pieces3mf(placed, [0, 0], uninterrupted)));
    const { data } = decode(zip['Metadata/thumbnail.png']!);
    const warmIn = (from: number, to: number) =>
      Array.from({ length: 256 * 256 }, (_, pixel) => pixel).some(
        (pixel) =>
          pixel % 256 >= from &&
          pixel % 256 < to &&
          data[4 * pixel + 3] === 255 &&
          data[4 * pixel]! > data[4 * pixel + 2]! + 5,
      );
    return { left: warmIn(0, 100), right: warmIn(156, 256) };
  };
  expect(sides(20)).toEqual({ left: false, right: true });
  expect(sides(-20)).toEqual({ left: true, right: false });
});

it('the same meshes give the same bytes', () => {
  expect(bytesOf(pieces3mf(items, [0, 0], uninterrupted))).toEqual(
    bytesOf(pieces3mf(items, [0, 0], uninterrupted)),
  );
});

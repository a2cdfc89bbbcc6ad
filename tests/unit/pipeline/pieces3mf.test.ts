import { strFromU8, unzipSync } from 'fflate';
import { expect, it } from 'vitest';
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
  const model = modelOf(bytesOf(pieces3mf(items, [-96, -60])));
  const objects = model.match(object)!;
  expect(objects).toHaveLength(2);
  for (const [n, one] of items.entries()) {
    const alone = modelOf(bytesOf(write3mf([one]))).match(object)![0]!;
    expect(objects[n]!.replace(`id="${n + 1}"`, 'id="1"')).toBe(alone);
  }
  expect(model.match(/<item .*?\/>/g)).toEqual([
    // x to y, y to −x, then 96 + 10 and 60 − 20 from the corner.
    '<item objectid="1" transform="0 1 0 -1 0 0 0 0 1 106 40 0"/>',
    '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 96 60 0"/>',
  ]);
});

it('the same meshes give the same bytes', () => {
  expect(bytesOf(pieces3mf(items, [0, 0]))).toEqual(bytesOf(pieces3mf(items, [0, 0])));
});

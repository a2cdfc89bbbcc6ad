import { expect, it } from 'vitest';
import { affineOf, afterScaling, applyAffine } from '../../../src/core/affine.ts';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { outlineEdits } from '../../../src/core/kit/outlineEdits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { sourceOutline } from '../../../src/features/turntable/sourceOutline.ts';
import { turned } from '../../shapes.ts';
import { lamplighter } from './lamplighter.ts';

const drawn: readonly Vec3[] = [
  [1, 2, 3],
  [4.5, 0, -2],
  [0, 7.25, 1],
];

it('an outline drawn on the posed part goes back to source coordinates, rounded', () => {
  const toPrint = affineOf((p) => {
    const [x, y, z] = turned(p, [30, 40, -50]);
    return [x + 3, y - 4, z + 60];
  });
  const factor = 3.4;
  const frame = afterScaling(toPrint, factor);
  const outline = drawn.map((point) => applyAffine(frame, point));
  const facing = applyAffine({ ...frame, shift: [0, 0, 0] }, [0, -1, 0]);
  const back = sourceOutline({ outline, facing }, toPrint, factor);
  expect(back.outline).toEqual(drawn);
  expect(back.facing).toEqual([0, -1, 0]);
});

it('it joins the list under show, which is read back as it was', () => {
  const read = (text: string) => parseManifest(text).manifest!.parts[0]!;
  const one = { outline: drawn, facing: [0, -1, 0] as const };
  const once = applyEdits(lamplighter, outlineEdits(lamplighter, read(lamplighter), one)!);
  expect(once).toBe(
    lamplighter.replace(
      'show: []',
      'show: [{ outline: [[1, 2, 3], [4.5, 0, -2], [0, 7.25, 1]], facing: [0, -1, 0] }]',
    ),
  );
  const twice = applyEdits(once, outlineEdits(once, read(once), { outline: drawn, facing: null })!);
  expect(read(twice).show).toEqual([one, { outline: drawn, facing: null }]);
  expect(parseManifest(twice).findings).toEqual(parseManifest(lamplighter).findings);
  const shared = lamplighter
    .replace('show: []', 'show: &all []')
    .replace('wall: solid', 'wall: solid\n    show: *all');
  expect(outlineEdits(shared, read(shared), one)).toBeNull();
});

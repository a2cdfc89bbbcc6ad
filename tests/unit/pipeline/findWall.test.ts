import { expect, it } from 'vitest';
import { sphere } from '../../shapes.ts';
import { kitOfOne } from './kitOfOne.ts';

it('a ball is hollow with the largest wall that leaves a ball of the least chamber’s volume', async () => {
  const kit = kitOfOne(sphere(12, 96));
  const text = `kit: The Lamplighter
scale: { factor: 1 }
limits: { least-chamber: 0.5, least-wall: 0.6 }
parts: { lantern: { file: body.stl, wall: 11.5 } }
`;
  const { said, edits, large } = await kit.ask(text, { kind: 'find-wall' });
  // V = 4/3·π·r³: 0.5 ml take r = 4.92 mm, so the wall is 7.08 mm, and 7 mm in steps of 0.1.
  expect(said).toMatch(
    /^Give lantern a wall of 7 mm: 0\.5\d+ ml of its 7\.2\d* ml become hollow, in 1 chamber$/,
  );
  expect([edits?.length, large]).toEqual([1, true]);
  // 4/3·π·12³ = 7.24 ml in all: no wall leaves 7 ml.
  const none = await kit.ask(text.replace('least-chamber: 0.5', 'least-chamber: 7'), { kind: 'find-wall' });
  expect(none.edits).toBeNull();
  expect(none.said).toMatch(/^No wall between 0\.7 mm .* and 11\.5 mm leaves a hollow of 7 ml/);
  kit.remove();
}, 60_000);

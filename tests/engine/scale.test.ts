import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { box, toStl } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const text = (scale: string) =>
  `${manifestHead.replace('scale: { finished: "1:4", factor: 1 }', scale)}parts:
  crate: { file: parts/crate.stl, wall: solid }   # mine
  lost: { file: parts/lost.stl }
`;
const kitAt = (name: string, scale: string) =>
  writeKit(join(folder.path, name), text(scale), { 'parts/crate.stl': toStl(box(40)) });

it('tells the factor, how it follows, how certain it is and the finished height', async () => {
  const kit = kitAt(
    'told',
    'scale: { finished: "1:4", from: [{ source: 40, subject: 480 }, { source: 20, print: 60 }] }',
  );
  const { code, out } = await kitwright(['scale', kit, '--json']);
  const told = JSON.parse(out);
  expect(code).toBe(0);
  // A box of 40 units: 120 mm in print, 480 mm on the subject. Ends of 0.5 mm: √½ of 120 and of 60 mm, weights 4 : 1.
  expect(told).toMatchObject({ factor: 3, size_units: [40, 40, 40], height_mm: 120, subject_height_mm: 480 });
  expect(told.answers.map(({ weight }: { weight: number }) => weight)).toEqual([0.8, 0.2]);
  const [a, b] = [(3 * Math.SQRT1_2) / 120, (3 * Math.SQRT1_2) / 60];
  expect(told.deviation).toBeCloseTo(Math.hypot(0.8 * a, 0.2 * b), 5);
  expect(told.failed).toEqual([expect.objectContaining({ part: 'lost' })]);
  const human = await kitwright(['scale', kit]);
  expect(human.out).toContain(
    'finished height 120 mm ± 0.63 mm (40 units along the sculpt’s z, 480 mm on the subject at 1:4)',
  );
}, 120_000);

it('gives a kit without a scale its height, and writes that only when asked to', async () => {
  const kit = kitAt('height', 'scale: {}   # to come');
  const none = await kitwright(['scale', kit]);
  expect([none.code, none.out]).toEqual([1, expect.stringContaining('The parts together are 40 units')]);
  const tried = await kitwright(['scale', kit, '--height', '130', '--json']);
  expect([tried.code, JSON.parse(tried.out).factor]).toEqual([0, 3.25]);
  expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toContain('scale: {}   # to come');
  // Of a kit of which a part is missing nobody knows the height.
  const lacking = await kitwright(['scale', kit, '--height', '130', '--write']);
  expect([lacking.code, lacking.err]).toEqual([2, expect.stringContaining('while lost is not in it')]);
  writeFileSync(join(kit, 'parts/lost.stl'), toStl(box(30)));
  expect((await kitwright(['scale', kit, '--height', '130', '--write'])).code).toBe(0);
  expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toContain(
    'scale: { from: { source: 40, print: 130 } }   # to come',
  );
}, 120_000);

it('tells what another factor changes, and writes nothing', async () => {
  const kit = kitAt('try', 'scale: { finished: "1:4", factor: 2 }');
  const before = readFileSync(join(kit, 'kit.yaml'), 'utf8');
  const { code, out } = await kitwright(['scale', kit, '--try', '3.2']);
  expect(code).toBe(0);
  // 128 mm on a plate of 120 mm: too long in y.
  expect(out).toMatch(/At a factor of 3\.2:\n {2}crate: .*new: .*outside-plate/);
  expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(before);
  const wrong = await kitwright(['scale', kit, '--try', '3', '--height', '4']);
  expect(wrong.code).toBe(2);
}, 240_000);

it('takes the height along what is up as the figure stands', async () => {
  // A slab of 40 × 30 × 20 units; its diagonal in the plane of x and y reaches (40 + 30)/√2 upward.
  const slab = toStl(box([40, 30, 20]));
  for (const [up, units, words] of [
    ['[0, 1, 0]', 30, 'along the sculpt’s y'],
    ['[-2, 0, 0]', 40, 'along the sculpt’s −x'],
    ['[1, 1, 0]', 70 * Math.SQRT1_2, 'along [1, 1, 0] of the sculpt'],
  ] as const) {
    const assembled = `scale: { finished: "1:4", factor: 2 }`;
    const lying = text(assembled)
      .replace('assembled: no', `assembled: { up: ${up} }`)
      .replace(/.*lost.*\n/, '');
    const kit = writeKit(join(folder.path, `up${units}`), lying, { 'parts/crate.stl': slab });
    const told = JSON.parse((await kitwright(['scale', kit, '--json'])).out);
    expect(told.size_units).toEqual([40, 30, 20]);
    expect(told.height_units).toBeCloseTo(units, 3);
    expect(told.height_mm).toBeCloseTo(2 * units, 1);
    expect((await kitwright(['scale', kit])).out).toContain(words);
    const made = JSON.parse((await kitwright(['scale', kit, '--height', '90', '--json'])).out);
    expect(made.factor).toBeCloseTo(90 / units, 4);
    expect(made.height_mm).toBeCloseTo(90, 1);
  }
}, 240_000);

import { expect, it } from 'vitest';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { lathe, sphere } from '../../shapes.ts';
import { kitOfOne } from './kitOfOne.ts';

const textWith = (partKeys: string): string => `kit: The Lamplighter
scale: { factor: 1 }
machine: { layer: 0.2 }
parts:
  lantern: { file: body.stl, raise: 5, ${partKeys} }
`;

/** Where vent 0 goes; null where it has no good place. */
async function placeOf(body: Mesh, partKeys: string): Promise<Vec3 | null> {
  const kit = kitOfOne(body);
  const { edits } = await kit.ask(textWith(partKeys), { kind: 'find-place', opening: 'vents/0' });
  const text =
    edits === null ? null : await kit.fixed(textWith(partKeys), { title: '', edits, preferred: false });
  kit.remove();
  const at = text && /vents: \[\{ at: \[([^\]]*)\]/.exec(text);
  return at ? (at[1]!.split(',').map(Number) as unknown as Vec3) : null;
}

const shown = (from: number, to: number): string =>
  [
    [0, -1],
    [0, 1],
    [-1, 0],
    [1, 0],
  ]
    .map(([x, y]) => {
      const corners = [
        [-20, from],
        [20, from],
        [20, to],
        [-20, to],
      ].map(([a, z]) => (x === 0 ? `[${a}, ${20 * y!}, ${z}]` : `[${20 * x!}, ${a}, ${z}]`));
      return `{ outline: [${corners.join(', ')}], facing: [${x}, ${y}, 0] }`;
    })
    .join(', ');

/** Balls of 10 mm radius at z = ±13 with a neck of 1.2 mm between them: two chambers. */
function barBell(): Mesh {
  const neck = Math.asin(1.2 / 10);
  const lower = Array.from({ length: 25 }, (_, n): [number, number] => {
    const angle = ((Math.PI - neck) * n) / 24;
    return [n === 0 ? 0 : 10 * Math.sin(angle), -13 - 10 * Math.cos(angle)];
  });
  return lathe([...lower, ...lower.map(([r, z]): [number, number] => [r, -z]).reverse()], 64);
}

it('keeps to the chamber it opens, though only another one has a good place', async () => {
  const own =
    '{ at: [0, 0, -23], diameter: 4 }, { at: [0, 0, 23], diameter: 4 }, { at: [10, 0, 13], diameter: 4 }';
  const vents = `vents: [{ at: [9.9, 0, -11], diameter: 3 }, ${own}]`;
  expect(await placeOf(barBell(), `show: [${shown(-18.5, -1)}], ${vents}`)).toSatisfy(
    (at: Vec3) => at[2] < -18.5,
  );
  const below =
    '{ outline: [[-20, -20, -30], [-20, 20, -30], [20, 20, -30], [20, -20, -30]], facing: [0, 0, -1] }';
  expect(await placeOf(barBell(), `show: [${shown(-30, -1)}, ${below}], ${vents}`)).toBeNull();
}, 60_000);

it('keeps 2 mm of solid between its mouth and the others', async () => {
  const other: Vec3 = [0, -8.5, -8.5];
  const at = await placeOf(
    sphere(12, 64),
    `show: [{ outline: [[-6, -12, -5], [6, -12, -5], [6, -12, 9], [-6, -12, 9]], facing: [0, -1, 0] }], vents: [{ at: [0, -11.6, -3], diameter: 3 }, { at: [${other}], diameter: 4 }, { at: [0, 0, 12], diameter: 5 }, { at: [0, 0, -12], diameter: 4 }]`,
  );
  expect(at).not.toBeNull();
  // `at` is rounded, and the other mouth lies on the facets of the ball.
  expect(norm(subtract(at!, other))).toBeGreaterThan(1.5 + 2 + 2 - 0.1);
}, 60_000);

it('goes further where the nearest place would let the cup breathe too late', async () => {
  const low = '[[-12, -8, -12], [12, -8, -12], [12, -8, -6.5], [-12, -8, -6.5]]';
  const at = await placeOf(
    sphere(12, 64),
    `show: [{ outline: ${low}, facing: [0, -1, 0] }], vents: [{ at: [0, -8, -9], diameter: 3 }, { at: [0, 0, 12], diameter: 5 }]`,
  );
  expect(at).not.toBeNull();
  // Above the outline, at z = −5, lies the nearest place that is good by itself; the hollow starts at −10.5.
  expect(at![2]).toBeLessThan(-7);
}, 60_000);

it('has none where the whole part is shown, or solid', async () => {
  const all = `${shown(-20, 20)}, { outline: [[-20, -20, 20], [20, -20, 20], [20, 20, 20], [-20, 20, 20]], facing: [0, 0, 1] }, { outline: [[-20, -20, -20], [-20, 20, -20], [20, 20, -20], [20, -20, -20]], facing: [0, 0, -1] }`;
  expect(
    await placeOf(sphere(12, 64), `show: [${all}], vents: [{ at: [0, -12, 0], diameter: 4 }]`),
  ).toBeNull();
  expect(await placeOf(sphere(12, 64), 'wall: solid, vents: [{ at: [0, -12, 0], diameter: 4 }]')).toBeNull();
}, 60_000);

import { angleOf, cosine, hump, ramp, sine } from '../arithmetic.ts';
import { ball, carve, column, common, type Field, halfSpace, limb, melt, unite } from '../field.ts';
import { boxOf, type Sculpt } from '../sculpt.ts';

/**
 * Chest, shoulder cape and belt. It stands on the tip of the tapered plug that seats in the skirt,
 * widens at 45° or steeper, and ends in the ball the head sits on.
 */
const plugTip = 60;

const chest = column([
  [60, 2.4, 2.4, 0.2],
  [62, 4.5, 4.2, 0.2],
  [65, 7.4, 6.4, 0.2],
  [68.5, 10.6, 8.3, 0.2],
  [72, 12.1, 9.2, 0.2],
  [77, 12.0, 9.1, 0.2],
  [84, 13.4, 9.9, 0],
  [92, 15.2, 10.6, -0.1],
  [98, 16.4, 10.4, 0.2],
  [102.5, 16.2, 9.2, 0.6],
  [106, 12.6, 7.6, 0.9],
  [109, 7.4, 6.0, 0.8],
  [112, 4.9, 4.9, 0.6],
  [120, 4.4, 4.4, 0.6],
]);

export function torsoField(): Field {
  const neckBall = unite(ball([0, 0.6, 113.6], 4.3), limb([0, 0.6, 106], [0, 0.6, 113.4], 4.7, 4.3));
  const body = common(chest, halfSpace([0, 0, 1], 112));
  const dressed: Field = (x, y, z) =>
    body(x, y, z) - belt(z) - coatFront(x, y, z) - cape(x, y, z) - collar(x, y, z) - creases(x, y, z);
  const whole = melt(0.9, dressed, neckBall, ...buttons());
  const sides = common(halfSpace([1, 0, 0], 15.6), halfSpace([-1, 0, 0], 15.6));
  return common(carve(whole, buckleHole(), 0.2), sides, halfSpace([0, 0, -1], -plugTip));
}

function belt(z: number): number {
  return 0.75 * ramp(72.2, 73.5, z) * (1 - ramp(76.4, 77.3, z));
}

/** The overlap of a double-breasted front, its lapels, and the shirt between them. */
function coatFront(x: number, y: number, z: number): number {
  if (y > -1) return 0;
  const front = ramp(-1, -4, y) * ramp(77, 79, z);
  const edge = 0.5 * (1 - ramp(5.6, 6.3, x)) * ramp(-6.2, -5.6, x) * (1 - ramp(93, 96, z));
  const open = Math.max(0, z - 91) * 0.26;
  const outer = 3.2 + Math.max(0, z - 91) * 0.42 - 1.1 * hump(101.5, 1.4, z);
  const side = Math.abs(x);
  const lapel =
    0.85 * ramp(open - 0.2, open + 0.5, side) * (1 - ramp(outer - 0.5, outer + 0.3, side)) * ramp(90, 93, z);
  const shirt = -0.7 * (1 - ramp(open - 0.7, open + 0.1, side)) * ramp(91.5, 94, z);
  return front * (edge + lapel + shirt);
}

/** Shoulder cape with a scalloped hem, open in front. */
function cape(x: number, y: number, z: number): number {
  const angle = angleOf(x, -y - 0.5);
  const away = Math.abs(angle - 1.5707963);
  const round = Math.min(away, 6.2831853 - away);
  const opening = ramp(0.72, 0.86, round);
  const hem = 90.5 + 0.7 * sine(angle * 10) - 2.2 * ramp(1.2, 3, round);
  const swell = 1.25 + 0.3 * cosine(angle * 10) * (1 - ramp(94, 106, z));
  return opening * swell * ramp(hem - 1.7, hem + 0.6, z) * (1 - ramp(105.5, 109.5, z));
}

/** Turned-down collar. It never stands off the neck: a groove there would be a cup while printing. */
function collar(x: number, y: number, z: number): number {
  const open = Math.max(0, z - 91) * 0.26;
  const parted = ramp(0, -2, y) * (1 - ramp(open - 0.2, open + 0.5, Math.abs(x)));
  return 0.95 * (1 - parted) * ramp(105.2, 106.3, z) * (1 - ramp(108.4, 112, z));
}

/** Cloth drawn in by the belt: creases that run out upwards. */
function creases(x: number, y: number, z: number): number {
  const angle = angleOf(x, y);
  const reach = ramp(76.6, 78.5, z) * (1 - ramp(82, 91, z));
  return 0.34 * reach * sine(angle * 13 + sine(angle * 3 + z * 0.12) * 1.4);
}

function buttons(): Field[] {
  const fields: Field[] = [];
  for (const [z, y] of [
    [80.2, -9.75],
    [84.6, -10.25],
    [89, -10.75],
  ] as const) {
    for (const x of [-3.9, 3.9]) fields.push(ball([x, y + 0.75, z], 0.95));
  }
  return fields;
}

function buckleHole(): Field {
  return limb([-0.9, -10.9, 74.9], [0.9, -10.9, 74.9], 0.75, 0.75);
}

export const torsoBox = boxOf(-17, -14, 59, 17, 14, 119);

export function torso(): Sculpt {
  return [
    {
      field: torsoField(),
      box: torsoBox,
      cell: 0.42,
      triangles: 11500,
      slack: 2.2,
      sawnAt: [plugTip],
    },
  ];
}

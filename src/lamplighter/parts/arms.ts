import { angleOf, hump, sine } from '../arithmetic.ts';
import {
  common,
  ellipsoid,
  type Field,
  fitted,
  halfSpace,
  limb,
  melt,
  type Point,
  ring,
  tippedX,
} from '../field.ts';
import { type Body, boxOf, type Sculpt } from '../sculpt.ts';
import { ladderField } from './props.ts';

/** Round the ladder in hand and cuff, 0.27 mm in print. */
const fit = 0.08;

/** A sleeve with creases that bunch in the crook of the elbow. */
function sleeve(from: Point, elbow: Point, to: Point, radii: readonly [number, number, number]): Field {
  const arm = melt(2.2, limb(from, elbow, radii[0], radii[1]), limb(elbow, to, radii[1], radii[2]));
  const d: Point = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
  const inverse = 1 / Math.sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2]);
  return (x, y, z) => {
    const base = arm(x, y, z);
    if (base > 2) return base;
    const along = ((x - elbow[0]) * d[0] + (y - elbow[1]) * d[1] + (z - elbow[2]) * d[2]) * inverse;
    const angle = angleOf(x - elbow[0], y - elbow[1]);
    const bunch = 0.3 * hump(0, 7, along) + 0.09;
    return base - bunch * sine(along * 1.7 + 1.9 * sine(angle * 2 + along * 0.35) + 0.6 * sine(angle * 3));
  };
}

function cuff(at: Point, toward: Point, radius: number): Field {
  const end: Point = [at[0] + toward[0], at[1] + toward[1], at[2] + toward[2]];
  const band = limb(at, end, radius, radius);
  const size = Math.sqrt(toward[0] ** 2 + toward[1] ** 2 + toward[2] ** 2);
  const axis: Point = [toward[0] / size, toward[1] / size, toward[2] / size];
  const start = axis[0] * at[0] + axis[1] * at[1] + axis[2] * at[2];
  return common(band, halfSpace(axis, start + size), halfSpace([-axis[0], -axis[1], -axis[2]], -start));
}

/** A fist round a bar along `grip`: palm, four fingers and a thumb, in the hand's own place. */
function fist(palm: Point, side: number): Field {
  const [x, y, z] = palm;
  const fingers: Field[] = [];
  for (let n = 0; n < 4; n++) {
    const h = z + 2.4 - n * 1.65;
    const r = 1.0 - 0.07 * Math.abs(n - 1);
    fingers.push(
      melt(
        0.3,
        limb([x + side * 1.5, y - 1.2, h], [x + side * 1.1, y - 3.6, h - 0.1], r, r),
        limb([x + side * 1.1, y - 3.6, h - 0.1], [x - side * 1.5, y - 3.4, h - 0.2], r, r * 0.92),
      ),
    );
  }
  const thumb = melt(
    0.4,
    limb([x - side * 1.6, y - 0.4, z - 0.4], [x - side * 2.3, y - 2.6, z + 1.6], 1.15, 1.0),
    limb([x - side * 2.3, y - 2.6, z + 1.6], [x - side * 0.6, y - 4.3, z + 2.6], 1.0, 0.8),
  );
  return melt(0.35, ellipsoid([x, y - 0.6, z], [2.5, 2.0, 3.7]), thumb, ...fingers);
}

export function raisedArm(): Sculpt {
  const arm = sleeve([13, 0.6, 100], [26.5, -1, 106.5], [28, -7.5, 121.5], [5.5, 4.5, 3.5]);
  const joint = common(arm, halfSpace([-1, 0, 0], -15.7));
  return [
    body(joint, boxOf(14, -14, 92, 35, 8, 127), 0.42, 3800),
    body(cuff([27.8, -6.9, 119.2], [0.5, -1.7, 4.1], 4.5), boxOf(21, -16, 113, 34, 1, 129), 0.4, 600),
    body(fist([28.4, -9.0, 126.6], 1), boxOf(22, -16, 119, 34, -3, 134), 0.28, 2300),
    body(lanternRing(), boxOf(23, -17, 118, 34, -9, 131), 0.26, 600),
  ];
}

/** The ring the lantern hangs from, closed in the fist. */
function lanternRing(): Field {
  const flat = ring([28.4, -11.9, 124.6], 2.6, 0.5);
  return tippedX(flat, [28.4, -11.9, 124.6], 0, 1);
}

export function loweredArm(): Sculpt {
  const rails = ladderField();
  const held = (field: Field): Field => fitted(field, rails, fit);
  const arm = sleeve([-13, 0.6, 100], [-22.5, 2.2, 84.5], [-22.6, -6.8, 71.5], [5.5, 4.5, 3.5]);
  const joint = common(arm, halfSpace([1, 0, 0], -15.7));
  return [
    body(joint, boxOf(-30, -14, 64, -14, 10, 108), 0.42, 3400),
    body(held(cuff([-22.6, -6.0, 72.8], [0, -2.6, -3.6], 4.4)), boxOf(-29, -16, 61, -16, 1, 80), 0.4, 600),
    body(held(fist([-22.6, -9.2, 66.6], -1)), boxOf(-29, -17, 59, -16, -4, 74), 0.28, 2200),
  ];
}

function body(field: Field, box: ReturnType<typeof boxOf>, cell: number, triangles: number): Body {
  return { field, box, cell, triangles };
}

import { angleOf, ramp, sine } from '../arithmetic.ts';
import { ball, carve, column, common, type Field, halfSpace, limb, melt } from '../field.ts';
import { boxOf, type Sculpt } from '../sculpt.ts';

const hem = 25;
const waist = 72.4;

const cloth = column([
  [22, 18.6, 14.3, 1.2],
  [30, 17.8, 13.7, 1.1],
  [42, 16.2, 12.6, 0.9],
  [54, 14.4, 11.1, 0.5],
  [64, 12.9, 9.9, 0.3],
  [73, 12.2, 9.3, 0.2],
]);

/** The plug of the torso with a fitting gap: the socket that takes it. */
const socket = column([
  [59.6, 2.0, 2.0, 0.2],
  [62, 4.35, 4.15, 0.2],
  [65, 7.65, 6.65, 0.2],
  [68.5, 10.0, 8.0, 0.2],
  [72, 11.0, 8.4, 0.2],
  [75, 11.1, 8.5, 0.2],
]);

function skirtField(): Field {
  const folded: Field = (x, y, z) => cloth(x, y, z) - folds(x, y, z) - overlap(x, y, z) - pockets(x, y, z);
  const whole = melt(0.6, folded, ...buttons());
  const shell = common(whole, halfSpace([0, 0, 1], waist), halfSpace([0, 0, -1], -hem));
  const socketSolid = common(socket, halfSpace([0, 0, -1], -59.8));
  return carve(carve(shell, socketSolid), underside(folded));
}

/** Deep folds at the hem that die out towards the waist; deeper behind than in front. */
function folds(x: number, y: number, z: number): number {
  const angle = angleOf(x, y - 1);
  const fall = 1 - ramp(30, 68, z);
  const lean = angle * 11 + 1.3 * sine(angle * 2 + 0.6) + (72 - z) * 0.012;
  const behind = 0.75 + 0.35 * ramp(-6, 8, y);
  return behind * (0.95 * fall + 0.12) * (sine(lean) + 0.35 * sine(lean * 2 + 1.1));
}

/** The front edge laps over from one side, down to the hem. */
function overlap(x: number, y: number, z: number): number {
  if (y > -2) return 0;
  const line = 5.2 + (72 - z) * 0.02;
  const slit = -1.1 * Math.max(0, 1 - Math.abs(x - line - 0.25) / 0.55) * (1 - ramp(52, 60, z));
  return (
    0.75 *
      ramp(-line - 1, -line + 1, -Math.abs(x - 0.5) + 0.5) *
      ramp(-2, -5, y) *
      (1 - ramp(line - 0.3, line + 0.3, x)) +
    slit
  );
}

/** Pocket flaps, one on each hip: cloth on cloth, with a lower edge that stands off. */
function pockets(x: number, y: number, z: number): number {
  const top = 60 + 0.12 * y;
  const across = ramp(-7.6, -7.1, y) * (1 - ramp(-0.6, -0.1, y)) * ramp(4, 6, Math.abs(x));
  return (
    0.8 *
    across *
    ramp(top - 4.4, top - 4.0, z) *
    (1 - 0.7 * ramp(top - 4, top, z)) *
    (1 - ramp(top, top + 0.3, z))
  );
}

function buttons(): Field[] {
  return [-3.9, 3.9].map((x) => ball([x, -10.1, 66.5], 1));
}

/**
 * A shallow room from below, its roof flat but for a cove along the cloth, so that the hem reads as cloth over the legs. It
 * follows the folds at the thickness of a cloth, 2.3 mm in print.
 */
function underside(cloak: Field): Field {
  return (x, y, z) => {
    const wall = cloak(x, y, z) + 0.68;
    return Math.max(wall, z - 29 - 0.75 * ramp(-2.2, -0.8, wall));
  };
}

export function skirt(): Sculpt {
  return [
    {
      field: skirtField(),
      box: boxOf(-22, -18, 23, 22, 19, 74),
      cell: 0.45,
      triangles: 11000,
      slack: 2.2,
      sawnAt: [hem, waist],
    },
  ];
}

/** Two boots with trouser legs, each leg a body of its own that overlaps its boot. */
export function boots(): Sculpt {
  return [-1, 1].flatMap((side) => leg(side));
}

function leg(side: number): Sculpt {
  const x = side * 6.2;
  const y = side * 1.2;
  const trouser: Field = (px, py, pz) => {
    const tube = limb([x, y + 0.6, 8], [side * 5.4, 1, 29], 4.7, 5.1)(px, py, pz);
    return tube - 0.15 * sine(pz * 1.3 + sine(angleOf(px - x, py - y) * 2) * 1.6) * (1 - ramp(15, 24, pz));
  };
  const cuff = common(trouser, halfSpace([0, 0, -1], -9.5), halfSpace([0, 0, 1], 29));
  return [
    {
      field: cuff,
      box: boxOf(x - 7, y - 7, 8, x + 7, y + 7, 30),
      cell: 0.45,
      triangles: 1400,
      sawnAt: [9.5, 29],
    },
    {
      field: boot(x, y),
      box: boxOf(x - 5, y - 14, -1, x + 5, y + 7, 15),
      cell: 0.4,
      triangles: 1900,
      sawnAt: [0],
    },
  ];
}

function boot(x: number, y: number): Field {
  const shaft = limb([x, y + 0.8, 4], [x, y + 0.7, 13], 3.3, 3.9);
  const foot = limb([x, y + 0.5, 3.2], [x, y - 8.2, 2.6], 3.2, 2.7);
  const toe = ball([x, y - 8.8, 2.7], 3.1);
  const welt = limb([x, y + 0.9, 0.6], [x, y - 8.8, 0.6], 3.4, 3.5);
  const sole = common(welt, halfSpace([0, 0, 1], 1.25));
  const heel = common(limb([x, y + 0.9, 0], [x, y + 0.9, 2], 3.3, 3.2), halfSpace([0, 0, 1], 2.2));
  const upper: Field = (px, py, pz) =>
    melt(1.6, shaft, foot, toe)(px, py, pz) -
    0.16 * sine(pz * 2.4 - py * 0.7) * ramp(3, 6, pz) * (1 - ramp(9, 12, pz));
  const laces = [5.2, 6.9, 8.6].map((z) =>
    limb([x - 1.2, y - 3.4 + (z - 5.2) * 0.32, z], [x + 1.2, y - 3.4 + (z - 5.2) * 0.32, z], 0.4, 0.4),
  );
  return common(melt(0.35, upper, sole, heel, ...laces), halfSpace([0, 0, -1], 0), halfSpace([0, 0, 1], 13));
}

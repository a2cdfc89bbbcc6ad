import { angleOf, ramp, sine } from '../arithmetic.ts';
import {
  ball,
  blend,
  carve,
  common,
  ellipsoid,
  type Field,
  fitted,
  halfSpace,
  limb,
  melt,
  ring,
  tippedX,
  unite,
} from '../field.ts';
import { noise } from '../noise.ts';
import { boxOf, type Sculpt } from '../sculpt.ts';
import { torsoField } from './torso.ts';

/** Round what seats in it, 0.27 mm in print; simplifying takes some of it. */
const fit = 0.08;
/** A little more: there simplifying would let the collar touch. */
const seatFit = 0.085;

const skull = ellipsoid([0, 1.0, 124], [5.75, 7.2, 6.7]);

function face(): Field {
  const both = (make: (side: number) => Field): Field[] => [make(-1), make(1)];
  const jaw = ellipsoid([0, -1.9, 118.2], [4.7, 5.0, 5.6]);
  const base = melt(
    2.2,
    skull,
    jaw,
    ball([0, -5.3, 114.5], 1.75),
    ...both((s) => ball([s * 3.3, -4.3, 119.4], 1.9)),
  );
  const brow = melt(
    0.7,
    limb([-3.5, -5.2, 122.7], [-0.8, -6.2, 122.3], 0.75, 0.7),
    limb([3.5, -5.2, 122.7], [0.8, -6.2, 122.3], 0.75, 0.7),
  );
  const browed = (x: number, y: number, z: number): number => blend(base(x, y, z), brow(x, y, z), 1);
  const sockets = both((s) => ellipsoid([s * 2.5, -7.0, 120.95], [1.7, 1.9, 1.1]));
  const hollowed = carve(carve(browed, sockets[0]!, 0.9), sockets[1]!, 0.9);
  const eyes = both((s) => ball([s * 2.4, -5.1, 120.95], 1.25));
  const lids = both((s) =>
    unite(
      limb([s * 1.45, -5.75, 121.5], [s * 2.5, -6.15, 121.85], 0.32, 0.36),
      limb([s * 2.5, -6.15, 121.85], [s * 3.6, -5.3, 121.4], 0.36, 0.28),
      limb([s * 1.5, -5.75, 120.3], [s * 3.4, -5.35, 120.25], 0.3, 0.26),
    ),
  );
  const nose = melt(
    0.8,
    limb([0, -6.3, 122], [0, -8.5, 118.6], 0.7, 1.05),
    ...both((s) => ball([s * 0.95, -7.35, 118.25], 0.72)),
  );
  const lip = ellipsoid([0, -6.35, 115.5], [1.5, 0.75, 0.55]);
  const ears = both((s) => ear(s));
  const featured = melt(0.55, hollowed, nose, lip, ...ears);
  return melt(0.32, featured, ...eyes, ...lids);
}

function ear(side: number): Field {
  const shell = ellipsoid([side * 6.0, 0.6, 120.4], [0.75, 1.5, 2.25]);
  return carve(shell, ellipsoid([side * 6.7, 0.3, 120.6], [0.5, 0.8, 1.3]), 0.3);
}

/** Moustache, side whiskers, eyebrows and hair, all combed. */
function hair(): Field {
  const both = (make: (side: number) => Field): Field[] => [make(-1), make(1)];
  const moustache = both((s) =>
    melt(
      0.8,
      limb([s * 0.5, -7.3, 117.0], [s * 2.6, -6.7, 116.0], 0.95, 0.8),
      limb([s * 2.6, -6.7, 116.0], [s * 4.5, -5.2, 116.5], 0.8, 0.25),
    ),
  );
  const whiskers = both((s) => limb([s * 5.3, -0.6, 121.6], [s * 4.5, -3.2, 115.6], 1.05, 1.7));
  const back = common(
    ellipsoid([0, 1.5, 123.4], [6.25, 7.4, 6.9]),
    tippedX(halfSpace([0, -1, 0], 0.3), [0, 0, 120], 0.94, -0.34),
  );
  const nape = ellipsoid([0, 5.6, 117.6], [4.3, 2.2, 3]);
  const mass = melt(0.7, ...moustache, ...whiskers, melt(1.2, back, nape));
  return (x, y, z) => {
    const d = mass(x, y, z);
    if (d > 1.5) return d;
    const strand = noise(7, x * 1.5 + z * 0.3, y * 1.5 + z * 0.2, z * 0.4);
    return d + 0.2 * strand + 0.09 * sine((x + y * 0.6) * 3.6 + z * 0.9 + strand);
  };
}

/** A knitted scarf wound twice, with a knot in front. */
function scarf(): Field {
  const low = tippedX(ring([0, 0.3, 111.2], 5.5, 2.0, 1.02), [0, 0, 111.2], 0.995, 0.1);
  const high = tippedX(ring([0, 0.5, 113.4], 4.7, 1.7, 1.02), [0, 0, 113.4], 0.995, -0.1);
  const knot = ellipsoid([2.2, -6.4, 110.6], [2.1, 1.7, 1.9]);
  const wound = melt(0.5, low, high, knot);
  return (x, y, z) => {
    const angle = angleOf(x, y);
    return wound(x, y, z) + 0.2 * sine(angle * 22 + z * 2.2) + 0.14 * sine(angle * 5 - z * 1.9);
  };
}

function headField(): Field {
  const flesh = melt(0.5, face(), limb([0, 0.8, 109], [0, 0.2, 117], 4.5, 4.3));
  const whole = melt(0.5, flesh, hair(), scarf());
  const seated = fitted(whole, torsoField(), seatFit);
  return common(seated, halfSpace([0, 0, -1], -109.6));
}

export function head(): Sculpt {
  return [
    {
      field: headField(),
      box: boxOf(-9, -10, 108, 9, 10.5, 132),
      cell: 0.24,
      triangles: 16500,
      slack: 1.4,
      sawnAt: [109.6],
    },
  ];
}

/** A peaked cap whose crown leans back; hollow below, to sit on the hair. */
export function cap(): Sculpt {
  const crown = tippedX(ellipsoid([0, 1.3, 129.4], [7.9, 9.0, 3.1]), [0, 0, 129], 0.985, 0.17);
  const band: Field = (x, y, z) => {
    const k = Math.sqrt((x / 6.5) ** 2 + ((y - 1.0) / 7.9) ** 2);
    return Math.max((k - 1) * 6.9, Math.abs(z - 126.4 - y * 0.12) - 1.7);
  };
  const pleated: Field = (x, y, z) => {
    const angle = angleOf(x, y - 1.3);
    return crown(x, y, z) + 0.14 * sine(angle * 16) * ramp(131.8, 129.5, z) + 0.08 * sine(angle * 5 + 1);
  };
  const peak: Field = (x, y, z) => {
    const k = Math.sqrt((x / 6.6) ** 2 + ((y + 4.6) / 7.2) ** 2);
    const sheet = Math.abs(z - (124.9 - 0.03 * x * x + 0.2 * (y + 8))) - 0.42;
    return Math.max((k - 1) * 6.4, sheet, y + 4.2);
  };
  const cord = ring([0, 1.0, 126.0], 6.75, 0.42, 1.19);
  const badge = ellipsoid([0, -7.2, 127.0], [1.3, 0.9, 1.5]);
  const whole = melt(
    0.45,
    pleated,
    band,
    peak,
    tippedX(cord, [0, 0, 126], 0.993, -0.12),
    badge,
    ball([0, 1.8, 132.4], 0.8),
  );
  const inside = ellipsoid([0, 1.2, 123.6], [6.0, 7.3, 5.6]);
  const worn = fitted(carve(whole, inside), headField(), fit);
  const field = common(worn, halfSpace([0, 0, -1], -121.5));
  return [{ field, box: boxOf(-9, -13, 121, 9, 12, 134), cell: 0.3, triangles: 4600, slack: 1 }];
}

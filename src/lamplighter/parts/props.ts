import { angleOf, cosine, length3, sine } from '../arithmetic.ts';
import {
  ball,
  block,
  carve,
  column,
  common,
  ellipsoid,
  type Field,
  halfSpace,
  limb,
  melt,
  ring,
  unite,
} from '../field.ts';
import { hashed, noise } from '../noise.ts';
import { type Body, boxOf, type Sculpt } from '../sculpt.ts';

const lanternX = 28.4;
const lanternY = -11.9;

/** Distance to a hexagonal prism's side, flat sides facing ±x; `r` is the inner radius. */
function hexagon(x: number, y: number, r: number): number {
  const u = Math.abs(x - lanternX);
  const v = Math.abs(y - lanternY);
  return Math.max(u, u * 0.5 + v * 0.8660254) - r;
}

/** Six-sided street lantern that widens upwards: foot, posts, panes set back, roof and chimney. */
export function lantern(): Sculpt {
  const radius = (z: number): number => 3.9 + (z - 102) * 0.13;
  const frame: Field = (x, y, z) => {
    const r = radius(z);
    const outer = Math.max(hexagon(x, y, r), Math.abs(z - 108.5) - 7.5);
    const angle = angleOf(x - lanternX, y - lanternY);
    const corner = cornerPost(x, y, r, angle);
    const middle = Math.abs(z - 108.5);
    const bands = Math.min(Math.abs(middle - 7) - 0.75, Math.abs(z - 109.8) - 0.35);
    return Math.max(outer, Math.min(corner, bands));
  };
  const roof: Field = (x, y, z) =>
    Math.max(hexagon(x, y, (120.2 - z) * 1.35 + 0.4) * 0.6, 115.6 - z, z - 119.5);
  const eaves: Field = (x, y, z) => Math.max(hexagon(x, y, 6.55), Math.abs(z - 115.8) - 0.55);
  const chimney = unite(
    limb([lanternX, lanternY, 118], [lanternX, lanternY, 120.6], 1.25, 1.25),
    ellipsoid([lanternX, lanternY, 120.9], [1.9, 1.9, 0.7]),
  );
  const loop = hangingLoop();
  const foot = column([
    [97.2, 0.9, 0.9, lanternY],
    [98.2, 1.6, 1.6, lanternY],
    [99.2, 1.1, 1.1, lanternY],
    [101, 3.6, 3.6, lanternY],
    [102, 4.4, 4.4, lanternY],
  ]);
  const shiftedFoot: Field = (x, y, z) => Math.max(foot(x - lanternX, y, z), z - 101.8, 97.4 - z);
  const metal = melt(0.25, frame, roof, eaves, chimney, loop, shiftedFoot);
  return [
    { field: metal, box: boxOf(20, -20, 96, 37, -3, 126), cell: 0.24, triangles: 7400, slack: 2 },
    pane(0.75, radius, 1000),
    pane(0.75 + 0.6 / 3.4, radius, 600),
  ];
}

function cornerPost(x: number, y: number, r: number, angle: number): number {
  const sixth = 1.0471976;
  const nearest = (Math.floor(angle / sixth) + 0.5) * sixth;
  const reach = (r - 0.42) * 1.1547;
  const u = x - lanternX - cosine(nearest) * reach;
  const v = y - lanternY - sine(nearest) * reach;
  return Math.sqrt(u * u + v * v) - 0.62;
}

/** The glass: one closed body behind the posts. The sculptor left its copy inside, 0.6 mm in print. */
function pane(inset: number, radius: (z: number) => number, triangles: number): Body {
  const field: Field = (x, y, z) =>
    Math.max(hexagon(x, y, radius(z) - inset), Math.abs(z - 108.6) - 7.6 + inset - 0.75);
  return { field, box: boxOf(21, -20, 100, 36, -4, 118), cell: 0.3, triangles };
}

function hangingLoop(): Field {
  const flat = ring([lanternX, lanternY, 121.9], 1.35, 0.45);
  return (x, y, z) => flat(x, lanternY + (z - 121.9), 121.9 + (y - lanternY));
}

const ladderY = -11.6;

/** Two rails and their rungs; the rungs sit in the rails. */
export function ladder(): Sculpt {
  const y = ladderY;
  const sides = [-22.6, -14].map(rail);
  return [
    ...sides.map((field, n) => ({
      field,
      box: boxOf(n ? -15.5 : -24, y - 2, 0, n ? -12.5 : -21, y + 2, 87),
      cell: 0.24,
      triangles: 800,
    })),
    { field: rungs(), box: boxOf(-24, y - 1, 5, -12, y + 1, 86), cell: 0.22, triangles: 2400 },
  ];
}

/** What a fist closes on. */
export const ladderField = (): Field => unite(rail(-22.6), rungs());

function rungs(): Field {
  const bars: Field[] = [];
  for (let z = 6; z < 84; z += 7.2) bars.push(limb([-22.9, ladderY, z], [-13.7, ladderY, z], 0.42, 0.42));
  return unite(...bars);
}

function rail(x: number): Field {
  const plank = block([x, ladderY, 43.5], [0.38, 0.7, 43], 0.2);
  return (px, py, pz) => plank(px, py, pz) + 0.05 * noise(3, px * 2, py * 2, pz * 0.25);
}

/** Cobbles set in an oval slab on a plinth that stands back, so that it seems to float. */
export function base(): Sculpt {
  const edge = (x: number, y: number, a: number, b: number): number => {
    const k0 = Math.sqrt((x / a) ** 2 + (y / b) ** 2);
    const k1 = Math.sqrt((x / (a * a)) ** 2 + (y / (b * b)) ** 2);
    return k1 < 1e-9 ? -b : (k0 * (k0 - 1)) / k1;
  };
  const slab: Field = (x, y, z) => Math.max(edge(x, y, 30, 19.4), z + 1.5, -4.6 - z);
  const plinth: Field = (x, y, z) => Math.max(edge(x, y, 24, 13.6), z + 4, -7 - z);
  const stones: Field = (x, y, z) => (z < -4 ? 1.5 : cobbles(x, y, z));
  const paved: Field = (x, y, z) => Math.max(stones(x, y, z), edge(x, y, 28.4, 17.8), -3 - z);
  const kerb: Field = (x, y, z) => kerbstones(edge(x, y, 29.4, 18.8), angleOf(x / 30, y / 19.4), z);
  const field = unite(melt(0.15, slab, paved, kerb), plinth);
  return [
    {
      field,
      box: boxOf(-32, -22, -8, 32, 22, 2),
      cell: 0.4,
      triangles: 13500,
      slack: 2.2,
      sawnAt: [-7, -4.6],
    },
  ];
}

const pitch = 4.3;

/** Domed setts in running bond, each nudged, turned up or sunk a little by its own number. */
function cobbles(x: number, y: number, z: number): number {
  let d = 9;
  const row = Math.floor(y / (pitch * 0.78));
  for (let j = row - 1; j <= row + 1; j++) {
    const shift = (j & 1) * pitch * 0.5;
    const place = Math.floor((x - shift) / pitch);
    for (let i = place - 1; i <= place + 1; i++) {
      const u = x - ((i + 0.5) * pitch + shift + (hashed(1, i, j, 0) - 0.5) * 0.7);
      const v = y - ((j + 0.5) * pitch * 0.78 + (hashed(2, i, j, 0) - 0.5) * 0.5);
      const top = -0.75 + (hashed(3, i, j, 0) - 0.5) * 0.55;
      d = Math.min(d, sett(u, v, z, top, 1.74 + (hashed(4, i, j, 0) - 0.5) * 0.3));
    }
  }
  return d + 0.05 * noise(5, x * 1.3, y * 1.3, z * 1.3);
}

function sett(u: number, v: number, z: number, top: number, half: number): number {
  const a = Math.max(Math.abs(u) - half + 1.1, 0);
  const b = Math.max(Math.abs(v) - half * 0.78 + 1.1, 0);
  const dome = top + 0.75 - 0.11 * (u * u + v * v);
  return Math.max(Math.sqrt(a * a + b * b) - 1.1, (z - dome) * 0.85);
}

function kerbstones(edge: number, angle: number, z: number): number {
  const stone = angle * 5.4112681;
  const joint = Math.abs(stone - Math.floor(stone) - 0.5);
  const gap = (0.5 - joint) * 4.4;
  const u = Math.max(Math.abs(edge) - 1.05 + 0.5, 0);
  const w = Math.max(Math.abs(z + 1.6) - 2.0 + 0.5, 0);
  return Math.max(length3(u, 0, w) - 0.5, 0.32 - gap);
}

/** The oil can he fills lamps from: a cone with a spout and a handle. */
export function oilCan(): Sculpt {
  const x = 17;
  const y = -11;
  const belly = column([
    [-1, 4.2, 4.2, y],
    [1.5, 4.4, 4.4, y],
    [5, 3.2, 3.2, y],
    [8, 1.5, 1.5, y],
    [9.5, 1.2, 1.2, y],
  ]);
  const can: Field = (px, py, pz) => Math.max(belly(px - x, py, pz), -pz, pz - 9.2);
  const spout = melt(
    0.5,
    limb([x + 3, y, 3.5], [x + 6.4, y, 8], 0.8, 0.55),
    limb([x + 6.4, y, 8], [x + 8.6, y, 8.6], 0.55, 0.45),
  );
  const grip = ring([x - 3.2, y, 5.4], 2.6, 0.55);
  const handle: Field = (px, py, pz) => grip(px, y + (pz - 5.4), 5.4 + (py - y));
  const field = common(
    melt(0.35, can, spout, carve(handle, can), ball([x, y, 9.4], 0.9)),
    halfSpace([0, 0, -1], 0),
  );
  return [{ field, box: boxOf(10, -17, -1, 28, -5, 12), cell: 0.3, triangles: 2200, sawnAt: [0], slack: 1 }];
}

/** The bag on his hip: a rounded box, a flap over it, two straps. */
export function satchel(): Sculpt {
  const bag = block([16.5, 3, 57], [2.4, 4.8, 4.2], 1.2);
  const flap = block([17, 3, 58.6], [2.5, 5.1, 3], 0.9);
  const straps = [0.6, 5.4].map((y) => block([18.2, y, 56.4], [1.5, 0.6, 4], 0.3));
  return [
    {
      field: melt(0.25, bag, flap, ...straps),
      box: boxOf(13, -3, 51, 21, 10, 63),
      cell: 0.35,
      triangles: 1600,
    },
  ];
}

/** A pebble beside the kerb that belongs to nothing. */
export function pebble(): Body {
  const stone = ellipsoid([33.2, -3, -5.8], [1.5, 1.2, 1.0]);
  const worn: Field = (x, y, z) => stone(x, y, z) - 0.1 * noise(11, x * 1.1, y * 1.1, z * 1.1);
  return { field: worn, box: boxOf(31, -5, -8, 36, -1, -4), cell: 0.25, triangles: 240 };
}

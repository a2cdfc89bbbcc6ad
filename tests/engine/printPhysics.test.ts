import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { box, cylinder, toStl } from '../shapes.ts';
import { kitwright, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const head = `kit: The Lamplighter
scale: { factor: 1 }
machine: { plate: [192, 140], height: 200, layer: 0.05, lift: { distance: 7, up: 60, down: 150 } }
film: { peel: 10 }
resins: { slate: { viscosity: 300 } }
defaults: { resin: slate }
parts:
`;

/** Rows of `layers --csv`: layer, z, area, cup area, pull. */
async function layerRows(kit: string, part: string): Promise<number[][]> {
  const { code, out } = await kitwright(['layers', kit, '--part', part, '--csv']);
  expect(code).toBeLessThan(2);
  const lines = out.trim().split('\n').slice(1);
  return lines.map((line) => line.split(',').map(Number));
}

it('a flat floor of 100 cm² with four large mouths under it pulls by the squeeze flow alone (Stefan 1874)', async () => {
  const radius = Math.sqrt(1e4 / Math.PI);
  const mouths = ['25, 0', '-25, 0', '0, 25', '0, -25'].map((at) => `{ at: [${at}, 0], diameter: 30 }`);
  const part = `  base:\n    file: base.stl\n    raise: 5\n    wall: 1.5\n    vents: [${mouths.join(', ')}]\n`;
  const files = { 'base.stl': toStl(cylinder(radius + 1.5, 12, 512)) };
  const rows = await layerRows(writeKit(join(folder.path, 'flat'), head + part, files), 'base');
  // The floor of the hollow is at 6.5 mm, in layer 130.
  const suction = (depth: number) => {
    const [, , area, , pull] = rows[130 + Math.round(depth / 0.05) - 1] as number[];
    return pull! - 0.01 * area!;
  };
  // 3·µ·v·A²/(2·π·h³) at 0.3 Pa·s and 1 mm/s; the mouths add 0.007 N.
  const hand = [917, 114.6, 14.32, 1.79];
  [0.25, 0.5, 1, 2].forEach((depth, i) => {
    expect(Math.abs(suction(depth) / hand[i]! - 1), `${depth} mm`).toBeLessThan(0.01);
  });
  expect(suction(0.05) / 1013.25).toBeCloseTo(1, 3);
}, 60_000);

it('a flat floor of 100 cm² over one large mouth in its middle pulls as a ring of film with a closed rim', async () => {
  const radius = Math.sqrt(1e4 / Math.PI);
  const part =
    '  base:\n    file: base.stl\n    raise: 5\n    wall: 1.5\n    vents: [{ at: [0, 0, 0], diameter: 30 }]\n';
  const files = { 'base.stl': toStl(cylinder(radius + 1.5, 12, 512)) };
  const rows = await layerRows(writeKit(join(folder.path, 'ring'), head + part, files), 'base');
  // The floor of the hollow is at 6.5 mm, in layer 130.
  const suction = (depth: number) => {
    const [, , area, , pull] = rows[130 + Math.round(depth / 0.05) - 1] as number[];
    return pull! - 0.01 * area!;
  };
  // The walls close the rim, so all resin comes from the mouth: Reynolds' equation for a ring, radii R and a,
  // (12πµv/d³)·[R⁴/2·ln(R/a) − R²(R² − a²)/4 − (R⁴ − a⁴)/8 + a²(R² − a²)/4]. An open rim would leave
  // 917, 115, 14.3 and 1.8 N (Stefan 1874, checkNumbers.test.ts); the mouth itself adds 0.03 N.
  const [R, a] = [radius * 1e-3, 15e-3];
  const ring =
    (R ** 4 / 2) * Math.log(R / a) -
    (R * R * (R * R - a * a)) / 4 -
    (R ** 4 - a ** 4) / 8 +
    (a * a * (R * R - a * a)) / 4;
  for (const depth of [0.5, 1, 2]) {
    const exact = (12 * Math.PI * 0.3 * 1e-3 * ring) / (depth * 1e-3) ** 3;
    expect(Math.abs(suction(depth) / exact - 1), `${depth} mm`).toBeLessThan(0.1);
  }
  expect(suction(0.05) / 1013.25).toBeCloseTo(1, 3);
}, 60_000);

it('bores that cross take what they share once from the area of a layer', async () => {
  const bores = ['20, 0, 0', '0, 20, 0'].map((at) => `{ at: [${at}], diameter: 10, depth: 45 }`);
  const part = `  lantern:\n    file: lantern.stl\n    wall: solid\n    tubes: [${bores.join(', ')}]\n`;
  const files = { 'lantern.stl': toStl(box(40)) };
  const rows = await layerRows(writeKit(join(folder.path, 'cross'), head + part, files), 'lantern');
  expect(rows[400]![2]! / (1600 - (2 * 10 * 40 - 10 * 10))).toBeCloseTo(1, 3);
}, 60_000);

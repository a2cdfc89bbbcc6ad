import { describe, expect, test } from 'vitest';
import { balanceOf } from '../../../src/core/filling/balance.ts';
import { coatChamber } from '../../../src/core/filling/coatChamber.ts';
import { pourChamber } from '../../../src/core/filling/pourChamber.ts';
import type { Manifest } from '../../../src/core/kit/manifest.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { chamberFilled } from '../../../src/core/kit/rules/chamberFilled.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import * as shapes from '../../shapes.ts';
import { soundFacts } from '../kit/soundFacts.ts';

const allFacets = (mesh: Mesh): Uint32Array =>
  Uint32Array.from({ length: mesh.triangles.length / 3 }, (_, facet) => facet);
const at = [100, -50, 30] as const;
const moved = (mesh: Mesh): Mesh => shapes.transformed(mesh, { shift: at });

describe('pouring', () => {
  test('half a ball: half its volume, its centroid ⅜ of the radius below the middle', () => {
    const ball = moved(shapes.icosphere(30, 6));
    const { volumeMm3, centroid } = pourChamber(ball, allFacets(ball), 0.5);
    expect(volumeMm3 / shapes.volumeOf(ball)).toBeCloseTo(0.5, 6);
    expect(volumeMm3 / ((2 / 3) * Math.PI * 30 ** 3)).toBeCloseTo(1, 3);
    expect(centroid[0]).toBeCloseTo(at[0], 3);
    expect(centroid[1]).toBeCloseTo(at[1], 3);
    expect(at[2] - centroid[2]).toBeCloseTo((3 / 8) * 30, 2);
  });

  test('three tenths of a box stand three tenths high', () => {
    const box = moved(shapes.box([20, 30, 40]));
    const { volumeMm3, centroid } = pourChamber(box, allFacets(box), 0.3);
    expect(volumeMm3).toBeCloseTo(0.3 * 24000, 3);
    expect(centroid[2]).toBeCloseTo(at[2] - 20 + 6, 5);
  });

  test('a cone on its base is full to 1 − (1 − level)^⅓ of its height', () => {
    const cone = moved(shapes.cone(20, 40, 256));
    const { centroid } = pourChamber(cone, allFacets(cone), 0.488);
    // 48.8 % of the volume lie under a fifth of the height: 1 − 0.8³. Centroid of a frustum between 0 and h.
    const frustum = (h: number) =>
      (h * (6 - 8 * (h / 40) + 3 * (h / 40) ** 2)) / (4 * (3 - 3 * (h / 40) + (h / 40) ** 2));
    const [bottom] = [Math.min(...[2, 5, 8].map((i) => cone.positions[i]!))];
    const low = cone.positions.reduce((least, z, i) => (i % 3 === 2 ? Math.min(least, z) : least), bottom);
    expect(centroid[2] - low).toBeCloseTo(frustum(8), 3);
  });

  test('all of it', () => {
    const ring = moved(shapes.torus(30, 10));
    const { volumeMm3, centroid } = pourChamber(ring, allFacets(ring), 1);
    expect(volumeMm3).toBeCloseTo(shapes.volumeOf(ring), 1);
    for (let axis = 0; axis < 3; axis++) expect(centroid[axis]).toBeCloseTo(at[axis]!, 3);
  });
});

test('a coat takes area × thickness, and no more than there is room', () => {
  const box = moved(shapes.box([20, 30, 40]));
  const { volumeMm3, centroid } = coatChamber(box, allFacets(box), 0.5, 24000);
  expect(volumeMm3).toBeCloseTo(0.5 * 2 * (20 * 30 + 20 * 40 + 30 * 40), 3);
  for (let axis = 0; axis < 3; axis++) expect(centroid[axis]).toBeCloseTo(at[axis]!, 4);
  expect(coatChamber(box, allFacets(box), 20, 24000).volumeMm3).toBe(24000);
});

describe('balance', () => {
  const body = { volumeMm3: 4000, centroid: [0, 0, 10] as const };
  const chamber = { volumeMm3: 1000, centroid: [0, 0, 16] as const };

  test('the shell is the body less its chamber; a filling pulls the centre to itself', () => {
    const empty = balanceOf(3.3, body, [chamber], null, null);
    expect(empty.shell.at[2]).toBeCloseTo((40000 - 16000) / 3000, 9);
    expect(empty.total).toEqual({ massG: 3.3, at: empty.shell.at });
    const filled = balanceOf(3, body, [chamber], [{ volumeMm3: 1000, massG: 2, at: [0, 0, 16] }], null);
    expect(filled.total.massG).toBe(5);
    expect(filled.total.at[2]).toBeCloseTo((3 * 8 + 2 * 16) / 5, 9);
  });

  test('a solid part is its own centre', () => {
    expect(balanceOf(4.4, body, [], null, null).total).toEqual({ massG: 4.4, at: [0, 0, 10] });
  });
});

test('what is put in is told with its cautions', () => {
  const text = `kit: The Lamplighter
scale: { factor: 1 }
parts:
  torso: { file: torso.stl, fill: { name: plaster, density: 1.5 }, coat: { density: 1.1, thickness: 0.3 } }
`;
  const manifest = parseManifest(text).manifest as Manifest;
  const [part] = manifest.parts;
  expect(part!.fill).toEqual({ name: 'plaster', density: 1.5, level: 1 });
  const facts = soundFacts();
  expect(chamberFilled({ manifest, part: part!, facts })).toEqual([]);
  const put = [{ volumeMm3: 10_000, massG: 15, at: [0, 0, 1] as const }];
  const balance = { ...facts.balance, fills: put, coats: put, total: { massG: 50, at: [0, 0, 1] as const } };
  const drafts = chamberFilled({ manifest, part: part!, facts: { ...facts, balance } });
  expect(drafts.map(({ path, measured }) => [path.at(-1), measured])).toEqual([
    ['fill', 15],
    ['coat', 15],
  ]);
  expect(drafts[0]!.message).toContain('filled with 10 ml of plaster, 15 g; it then weighs 50 g in all');
  expect(drafts[0]!.message).toContain('never pour over liquid resin');
});

import { describe, expect, test } from 'vitest';
import { hollow } from '../../../src/core/field/hollow.ts';
import type { KeptRegion } from '../../../src/core/field/keptRegion.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { cavityFaults } from '../../../src/core/walls/cavityFaults.ts';
import { thinSheets } from '../../../src/core/walls/thinSheets.ts';
import * as shapes from '../../shapes.ts';

function cavityOf(mesh: Mesh, kept: readonly KeptRegion[] = []) {
  const options = { wallMm: 1.5, leastChamberMm3: 1, maxNodes: 2e7, kept };
  const result = hollow(mesh, options, uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

/** A box with its faces cut into squares of 0.5 mm. */
function gridBox(size: Vec3, shift: Vec3): Mesh {
  const faces = [0, 1, 2].flatMap((axis) => [-1, 1].map((side) => ({ axis, side })));
  const positions: number[] = [];
  const triangles: number[] = [];
  for (const { axis, side } of faces) {
    const [b, c] = [(axis + 1) % 3, (axis + 2) % 3];
    const [nb, nc] = [Math.round(size[b]! / 0.5), Math.round(size[c]! / 0.5)];
    const first = positions.length / 3;
    for (let j = 0; j <= nc; j++) {
      for (let i = 0; i <= nb; i++) {
        const at = [0, 0, 0];
        at[axis] = (side * size[axis]!) / 2;
        at[b] = size[b]! * (i / nb - 0.5);
        at[c] = size[c]! * (j / nc - 0.5);
        positions.push(...at.map((value, n) => value + shift[n]!));
        if (i === nb || j === nc) continue;
        const corner = first + i + (nb + 1) * j;
        const square = [corner, corner + 1, corner + nb + 2, corner, corner + nb + 2, corner + nb + 1];
        triangles.push(...(side > 0 ? square : square.reverse()));
      }
    }
  }
  return shapes.meshOf(positions, triangles);
}

function faultsOf(mesh: Mesh, kept: readonly KeptRegion[] = [], limitMm = 0.6) {
  const cavity = cavityOf(mesh, kept);
  return cavityFaults(cavity.mesh, cavity.facetChamber, cavity.spacingMm, limitMm, uninterrupted);
}

const block = (at: Vec3, size: Vec3): KeptRegion => ({
  at,
  halfSize: [size[0] / 2, size[1] / 2, size[2] / 2],
  roundMm: 0,
});
const ball = (at: Vec3, roundMm: number): KeptRegion => ({ at, halfSize: [0, 0, 0], roundMm });

/** A dumb-bell of two cubes of 20 with a round neck between them that is `waist` thick at its middle. */
function hourglass(waist: number): Mesh {
  const profile: [number, number][] = [[0, -20]];
  for (let n = 0; n <= 80; n++) {
    const z = -20 + n * 0.5;
    profile.push([waist + (8 - waist) * Math.min(1, (z / 10) ** 2), z]);
  }
  profile.push([0, 20]);
  return shapes.lathe(profile, 96);
}

describe('solid inside the hollow', () => {
  const sound: [string, Mesh][] = [
    ['box', shapes.box(30)],
    ['turned box', shapes.transformed(shapes.box(30), { turn: [20, 30, 40] })],
    ['sphere', shapes.icosphere(12, 4)],
    ['torus', shapes.torus(14, 5, 160, 80)],
    ['two chambers far apart', hourglass(1)],
    ['a neck that stays open', hourglass(2.5)],
  ];
  test.each(sound)('%s: nothing to say', (_, mesh) => {
    expect(faultsOf(mesh)).toEqual({ webs: [], spikes: [], loose: [] });
  });

  test('a web between two chambers: its area and thickness', () => {
    const { webs, spikes } = faultsOf(shapes.box([50, 24, 20]), [block([4, 0, 0], [0.55, 60, 60])]);
    expect(spikes).toEqual([]);
    expect(webs).toHaveLength(1);
    expect(webs[0]!.thicknessMm).toBeCloseTo(0.55, 2);
    expect(webs[0]!.areaMm2 / (21 * 17)).toBeCloseTo(1, 0.9);
    expect(Math.abs(webs[0]!.at[0] - 4)).toBeCloseTo(0.275, 2);
  });

  test('a web between the folds of one chamber, slanted: the facets of a slab given as they are', () => {
    const turn: Vec3 = [10, 20, 30];
    const outer = shapes.transformed(shapes.box([30, 30, 30]), { turn });
    const near = shapes.transformed(gridBox([10, 20, 20], [-5.2, 0, 0]), { turn });
    const far = shapes.transformed(gridBox([10, 20, 20], [5.2, 0, 0]), { turn });
    const mesh = shapes.join(near, far);
    expect(shapes.volumeOf(mesh)).toBeLessThan(shapes.volumeOf(outer));
    const { webs } = cavityFaults(mesh, new Uint32Array(mesh.triangles.length / 3), 0.5, 0.6, uninterrupted);
    expect(webs).toHaveLength(1);
    expect(webs[0]!.thicknessMm).toBeCloseTo(0.4, 3);
    expect(webs[0]!.areaMm2 / 400).toBeCloseTo(1, 0.9);
  });

  test('a fin with a free edge is a spike, and one that reaches across is a web', () => {
    const part = shapes.box([50, 24, 20]);
    // From the wall at y = 10.5 to y = 0.
    const fin = faultsOf(part, [block([4, 10, 0], [0.55, 20, 60])]);
    expect(fin.webs).toEqual([]);
    expect(fin.spikes).toHaveLength(1);
    expect(fin.spikes[0]!.thicknessMm).toBeCloseTo(0.55, 2);
    expect(fin.spikes[0]!.areaMm2 / (10.5 * 17)).toBeCloseTo(1, 0.9);
    const thick = faultsOf(part, [block([4, 10, 0], [1.2, 20, 60])]);
    expect(thick.spikes).toEqual([]);
  });

  test('a needle', () => {
    const { spikes, webs } = faultsOf(shapes.box(24), [block([1.3, 2.2, 8], [0.8, 0.8, 14])], 1.2);
    expect(webs).toEqual([]);
    expect(spikes).toHaveLength(1);
    // Between its sides and across its corners.
    expect(spikes[0]!.thicknessMm).toBeGreaterThan(0.75);
    expect(spikes[0]!.thicknessMm).toBeLessThan(1.15);
    expect(spikes[0]!.at[0]).toBeCloseTo(1.3, 0);
  });

  test('pieces that the hollow surrounds are loose: a kept ball, and a void of the sculpt with its wall', () => {
    const kept = faultsOf(shapes.box(30), [ball([3, -2, 1], 4)]);
    expect(kept.loose).toHaveLength(1);
    expect(kept.loose[0]!.volumeMm3 / ((4 / 3) * Math.PI * 64)).toBeCloseTo(1, 2);
    [3, -2, 1].forEach((c, axis) => {
      expect(kept.loose[0]!.at[axis]).toBeCloseTo(c, 1);
    });
    const part = shapes.join(shapes.box(30), shapes.reversed(shapes.icosphere(4, 4)));
    expect(faultsOf(part).loose[0]!.volumeMm3 / ((4 / 3) * Math.PI * 5.5 ** 3)).toBeCloseTo(1, 1.5);
    // A ball that reaches the wall is held.
    expect(faultsOf(shapes.box(30), [ball([12, -2, 1], 4)]).loose).toEqual([]);
  });
});

describe('thin sheets of the sculpt', () => {
  test.each([[[0, 0, 0]], [[20, 30, 40]]] as [Vec3][])('a plate of 0.5 mm, turned by %s', (turn) => {
    const plate = shapes.transformed(shapes.box([40, 30, 0.5]), { turn, shift: [5, 6, 7] });
    const [sheet, ...others] = thinSheets(plate, 0.6, uninterrupted);
    expect(others).toEqual([]);
    expect(sheet!.thicknessMm).toBeCloseTo(0.5, 3);
    expect(sheet!.areaMm2 / 1200).toBeGreaterThan(0.8);
    expect(sheet!.areaMm2 / 1200).toBeLessThan(1.2);
    expect(thinSheets(plate, 0.49, uninterrupted)).toEqual([]);
  });

  test('a curved sheet: a shell of 0.4 mm round a void', () => {
    const shell = shapes.join(shapes.icosphere(10, 5), shapes.reversed(shapes.icosphere(9.6, 5)));
    const [sheet] = thinSheets(shell, 0.6, uninterrupted);
    expect(sheet!.thicknessMm).toBeCloseTo(0.4, 1);
    expect(sheet!.areaMm2 / (4 * Math.PI * 9.8 ** 2)).toBeGreaterThan(0.8);
    expect(sheet!.areaMm2 / (4 * Math.PI * 9.8 ** 2)).toBeLessThan(1.2);
  });

  test.each([
    ['box', shapes.box(20)],
    ['cone, sharp at its rim and tip', shapes.cone(10, 12)],
    ['cylinder', shapes.cylinder(5, 20)],
    [
      'two boxes with a crack of 0.2 mm between them',
      shapes.join(shapes.box(10), shapes.transformed(shapes.box(10), { shift: [10.2, 0, 0] })),
    ],
    ['torus', shapes.torus(14, 1, 160, 80)],
  ] as [string, Mesh][])('%s: none', (_, mesh) => {
    expect(thinSheets(mesh, 0.6, uninterrupted)).toEqual([]);
  });
});

import { describe, expect, test } from 'vitest';
import type { Cavity } from '../../../src/core/field/cavity.ts';
import { type HollowOptions, hollow, hollowSteps } from '../../../src/core/field/hollow.ts';
import { hollowSlice } from '../../../src/core/field/hollowSlice.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import * as shapes from '../../shapes.ts';

const options: HollowOptions = { wallMm: 1.5, leastChamberMm3: 1, maxNodes: 2e7 };

function hollowed(mesh: Mesh, slices: number, changed: Partial<HollowOptions> = {}): Cavity {
  const result = hollow(mesh, { ...options, ...changed, slices }, uninterrupted);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

/** Told where no hollow is large enough to be one. */
const deepestOf = (mesh: Mesh, slices: number): number =>
  hollowed(mesh, slices, { leastChamberMm3: Infinity }).deepestMm!;

/** A mesh's facets by their corners' places, in an order of their own. */
function facetsByPlace({ positions, triangles }: Mesh): string[] {
  const place = (vertex: number): string => positions.subarray(3 * vertex, 3 * vertex + 3).join(' ');
  return Array.from({ length: triangles.length / 3 }, (_, f) => {
    const corners = [...triangles.subarray(3 * f, 3 * f + 3)].map(place);
    const first = corners.indexOf([...corners].sort()[0]!);
    return [0, 1, 2].map((n) => corners[(first + n) % 3]).join(', ');
  }).sort();
}

function verticesByPlace({ positions }: Mesh): string[] {
  return Array.from({ length: positions.length / 3 }, (_, v) =>
    positions.subarray(3 * v, 3 * v + 3).join(' '),
  ).sort();
}

/** How many facets of one mesh the other has not. */
function missing(of: Mesh, from: Mesh): number {
  const there = new Set(facetsByPlace(from));
  return facetsByPlace(of).filter((facet) => !there.has(facet)).length;
}

const figure = shapes.loadSharedMesh('human_cc0');
/** Mesh and numbers of slices. */
const meshes: [string, Mesh, number[]][] = [
  ['box', shapes.box(24), [2, 3, 7]],
  ['turned box', shapes.transformed(shapes.box(24), { turn: [20, 30, 40] }), [2, 5]],
  ['standing torus', shapes.transformed(shapes.torus(14, 5, 160, 80), { turn: [90, 0, 0] }), [2, 4]],
  ...(figure === null ? [] : [['human_cc0', figure, [3]] as [string, Mesh, number[]]]),
];

describe('slices', () => {
  test.each(meshes)(
    '%s: however it is cut, the cavity is the same',
    (_, mesh, counts) => {
      const whole = hollowed(mesh, 1);
      const deepest = deepestOf(mesh, 1);
      for (const count of counts) {
        const cut = hollowed(mesh, count);
        expect(isClosed(cut.mesh)).toBe(true);
        expect(verticesByPlace(cut.mesh)).toEqual(verticesByPlace(whole.mesh));
        expect(cut.mesh.triangles).toHaveLength(whole.mesh.triangles.length);
        expect(missing(whole.mesh, cut.mesh)).toBe(0);
        expect(cut.chambers).toHaveLength(whole.chambers.length);
        cut.chambers.forEach(({ volumeMm3, centroid }, n) => {
          expect(volumeMm3 / whole.chambers[n]!.volumeMm3).toBeCloseTo(1, 9);
          centroid.forEach((value, axis) => {
            expect(value).toBeCloseTo(whole.chambers[n]!.centroid[axis]!, 5);
          });
        });
        expect(deepestOf(mesh, count)).toBeCloseTo(deepest, 9);
        expect(cut.thinnest?.wallMm).toBeCloseTo(whole.thinnest!.wallMm, 1);
      }
    },
    120_000,
  );

  test('chambers that lie in different slices stay apart, those that pass a seam are one', () => {
    const bell = (neck: number): Mesh =>
      shapes.lathe(
        [
          [0, -12],
          [8, -12],
          [8, -4],
          [neck, -4],
          [neck, 4],
          [6, 4],
          [6, 12],
          [0, 12],
        ],
        48,
      );
    expect(hollowed(bell(1.2), 5).chambers).toHaveLength(2);
    expect(hollowed(bell(3), 5).chambers).toHaveLength(1);
  });

  test('seams that do not fit are made good by hollowing in one piece', () => {
    const mesh = shapes.icosphere(12, 4);
    const steps = hollowSteps(mesh, { ...options, slices: 3 }, uninterrupted);
    const requests = steps.next().value;
    if (!Array.isArray(requests)) throw new Error('no slices');
    expect(requests).toHaveLength(3);
    const slices = requests.map((request) => hollowSlice(request, uninterrupted)!);
    const keys = slices[1]!.borrowedKeys.slice();
    keys[0]! += 0.5;
    const again = steps.next([slices[0]!, { ...slices[1]!, borrowedKeys: keys }, slices[2]!]).value;
    if (!Array.isArray(again)) throw new Error('the seam was sewn');
    expect(again).toHaveLength(1);
    const last = steps.next(again.map((request) => hollowSlice(request, uninterrupted)));
    expect(last.done).toBe(true);
    expect(last.value).toEqual({ ok: true, value: hollowed(mesh, 1) });
  });
});

import { expect, test } from 'vitest';
import type { Cavity } from '../../../src/core/field/cavity.ts';
import { openingsAway } from '../../../src/core/pose/openingsAway.ts';
import { poseOpenings } from '../../../src/pipeline/poseOpenings.ts';
import * as shapes from '../../shapes.ts';

test('each opening belongs to the hollow it reaches, and one that reaches none does not count', () => {
  const low = shapes.box([20, 20, 20]);
  const high = shapes.transformed(shapes.box([20, 20, 20]), { shift: [0, 0, 40] });
  const mesh = shapes.join(low, high);
  const facetChamber = Uint32Array.from({ length: mesh.triangles.length / 3 }, (_, facet) =>
    3 * facet < low.triangles.length ? 0 : 1,
  );
  const cavity = { mesh, facetChamber } as unknown as Cavity;
  const of = (kind: 'vent' | 'drain' | 'tube', z: number, depth?: number) =>
    openingsAway(
      poseOpenings(cavity, {
        factor: 2,
        wall: 2,
        openings: [{ id: `${kind}s/0`, kind, at: [6, 6, z / 2], diameter: 5, ...(depth && { depth }) }],
      }),
      [0, 0, 1],
    );
  // 2 mm beside an upright edge of the lower one, from −10 to 10 mm; the upper one goes from 30 to 50 mm.
  expect(of('vent', -8)).toBeCloseTo(2, 6);
  expect(of('drain', -8)).toBeCloseTo(18, 6);
  expect(of('vent', 33)).toBeCloseTo(3, 6);
  // Between both, out of reach until it is drilled deep enough.
  expect(of('vent', 18)).toBe(0);
  expect(of('vent', 18, 8)).toBeCloseTo(28, 6);
  expect(of('tube', -8)).toBe(0);
});

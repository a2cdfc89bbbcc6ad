import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { massProperties } from '../../../src/core/mesh/massProperties.ts';
import { poseMesh } from '../../../src/core/mesh/pose.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { measurePose } from '../../../src/pipeline/posePart.ts';
import { box, icosphere, join, reversed, torus, transformed } from '../../shapes.ts';

const factor = 3.4;
const shapes = [
  ['torus', transformed(torus(20, 6), { turn: [12, 80, 5], shift: [40, -3, 9] })],
  ['ball with a void', join(icosphere(8, 4), reversed(transformed(icosphere(3, 3), { shift: [3, 1, 0] })))],
] as const;
const turns: Vec3[] = [
  [0, 0, 0],
  [33, -71, 128],
];

describe.each(shapes)('a posed %s', (_, mesh) => {
  it.each(turns)('turned %s %s %s: its figures are those of the mesh as posed', (...turn) => {
    const posed = poseMesh(mesh, { factor, turn, raise: 5, mirrored: false });
    const measured = massProperties(posed.mesh, uninterrupted);
    const prepared = { topology: reportTopology(mesh, uninterrupted), sound: true };
    const carried = measurePose(posed, { ...prepared, isAsReported: true }, factor, uninterrupted).mass;
    // Corners are rounded to float32 when they are posed: 4e-6 mm at 60 mm.
    expect(carried.volume / measured.volume).toBeCloseTo(1, 6);
    expect(carried.area / measured.area).toBeCloseTo(1, 6);
    for (const [axis, value] of carried.centroid.entries())
      expect(value).toBeCloseTo(measured.centroid[axis]!, 4);
    expect(carried.bounds).toEqual(measured.bounds);
  });
});

it('a mesh that is not the one reported, or not closed, is measured', () => {
  const mesh = box(10);
  const posed = poseMesh(mesh, { factor: 2, turn: [0, 0, 0], raise: 0, mirrored: false });
  const topology = reportTopology(box(9), uninterrupted);
  for (const [sound, isAsReported] of [
    [true, false],
    [false, true],
  ] as const) {
    const { mass } = measurePose(posed, { topology, sound, isAsReported }, 2, uninterrupted);
    expect(mass.volume).toBeCloseTo(8000, 6);
  }
});

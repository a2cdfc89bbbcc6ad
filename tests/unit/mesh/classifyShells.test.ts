import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { classifyShells } from '../../../src/core/mesh/classifyShells.ts';
import { labelShells } from '../../../src/core/mesh/labelShells.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import {
  box,
  cone,
  cylinder,
  hollowSphere,
  icosphere,
  join,
  reversed,
  sphere,
  torus,
  transformed,
  volumeOf,
} from '../../shapes.ts';

const classify = (mesh: Mesh) => classifyShells(mesh, labelShells(mesh), uninterrupted);
const moved = (mesh: Mesh, shift: Vec3, turn: Vec3 = [0, 0, 0]) => transformed(mesh, { shift, turn });
const kinds = (mesh: Mesh) => classify(mesh).shells.map((shell) => shell.kind);
const groups = (mesh: Mesh) => new Set(classify(mesh).shells.map((shell) => shell.group)).size;

const turns: Vec3[] = [
  [0, 0, 0],
  [33, -71, 128],
  [90, 0, 45],
];

describe.each(turns)('shells turned %s %s %s', (...turn) => {
  const turnAll = (mesh: Mesh) => transformed(mesh, { turn, scale: 1.7, shift: [40, -3, 9] });

  it('one body', () => {
    const { shells, needsUnion } = classify(turnAll(torus(20, 6)));
    expect(shells.map((s) => s.kind)).toEqual(['body']);
    expect(shells[0]!.volume).toBeCloseTo(volumeOf(turnAll(torus(20, 6))), 0);
    expect(needsUnion).toBe(false);
  });

  it('one body whose report is known', () => {
    const mesh = turnAll(torus(20, 6));
    const report = reportTopology(mesh, uninterrupted);
    const known = classifyShells(mesh, labelShells(mesh), uninterrupted, report);
    const { shells } = classify(mesh);
    expect(known.needsUnion).toBe(false);
    expect(known.shells.map(({ volume: _, ...shell }) => shell)).toEqual(
      shells.map(({ volume: _, ...shell }) => shell),
    );
    expect(known.shells[0]!.volume / shells[0]!.volume).toBeCloseTo(1, 9);
  });

  it('a void in a body needs no union and is one group', () => {
    const mesh = turnAll(hollowSphere(20, 2));
    const { shells, needsUnion } = classify(mesh);
    expect(shells.map((s) => s.kind)).toEqual(['body', 'void']);
    expect(shells.map((s) => s.overlaps)).toEqual([false, false]);
    expect(needsUnion).toBe(false);
    expect(groups(mesh)).toBe(1);
  });

  it('an outward shell in a body is doubled', () => {
    const mesh = turnAll(join(sphere(20), sphere(19)));
    expect(kinds(mesh)).toEqual(['body', 'doubled']);
    expect(classify(mesh).needsUnion).toBe(true);
    expect(groups(mesh)).toBe(1);
  });

  it('a lone inward shell is inverted', () => {
    expect(kinds(turnAll(join(box(10), moved(reversed(box(4)), [20, 0, 0]))))).toEqual(['body', 'inverted']);
  });

  it('bodies that overlap are bodies of one group', () => {
    const mesh = turnAll(join(sphere(10), moved(sphere(10), [12, 1, 2])));
    const { shells, needsUnion } = classify(mesh);
    expect(shells.map((s) => [s.kind, s.overlaps])).toEqual([
      ['body', true],
      ['body', true],
    ]);
    expect(needsUnion).toBe(true);
    expect(groups(mesh)).toBe(1);
  });

  it('a body mostly sunk into another stays a body', () => {
    expect(kinds(turnAll(join(box(20), moved(cylinder(2, 12), [0, 0, -1]))))).toEqual(['body', 'body']);
  });

  it('bodies apart are groups apart', () => {
    const mesh = turnAll(join(sphere(10), moved(sphere(10), [20.5, 0, 0])));
    expect(classify(mesh).needsUnion).toBe(false);
    expect(groups(mesh)).toBe(2);
  });

  it('a loose piece in a void is a body and a group of its own', () => {
    const mesh = turnAll(join(hollowSphere(20, 3), box(5)));
    expect(kinds(mesh)).toEqual(['body', 'void', 'body']);
    expect(groups(mesh)).toBe(2);
    expect(classify(mesh).needsUnion).toBe(false);
  });

  it('sees an overlap of 0.002 mm', () => {
    const near = turnAll(join(box(10), moved(sphere(10, 48), [14.998, 0, 0], [0, 90, 0])));
    const far = turnAll(join(box(10), moved(sphere(10, 48), [15.002, 0, 0], [0, 90, 0])));
    expect(classify(near).needsUnion).toBe(true);
    expect(classify(far).needsUnion).toBe(false);
  });
});

describe('shells that touch', () => {
  it('two cubes with one edge in common are one group and need no union', () => {
    const mesh = join(box(40), moved(box(40), [40, 40, 0]));
    expect(classify(mesh).needsUnion).toBe(false);
    expect(groups(mesh)).toBe(1);
  });

  it('two boxes face to face need a union', () => {
    expect(classify(join(box(10), moved(box(10), [10, 0, 0]))).needsUnion).toBe(true);
    expect(classify(join(box(10), moved(box(6), [8, 1, 1]))).needsUnion).toBe(true);
  });

  it('a tip that just touches the middle of a face is seen', () => {
    const tip = (z: number) => join(box(10), moved(cone(2, 5, 6), [0.3, 0.4, z]));
    expect(classify(tip(-10)).needsUnion).toBe(true);
    expect(groups(tip(-10))).toBe(1);
    expect(classify(tip(-10.001)).needsUnion).toBe(false);
    expect(groups(tip(-10.001))).toBe(2);
  });

  it('boxes that cross along grid planes and diagonals are seen', () => {
    expect(classify(join(box(2), moved(box(2), [1, 0, 0]))).needsUnion).toBe(true);
    expect(classify(join(box([8, 8, 8]), moved(box([8, 2, 2]), [4, 0, 0]))).needsUnion).toBe(true);
    expect(classify(join(box(2), moved(box(2), [1, 1, 1]))).needsUnion).toBe(true);
  });
});

it('takes many shells and a deep nest', () => {
  const nest = join(
    ...[10, 9, 8, 7].map((r, i) => (i % 2 === 0 ? icosphere(r, 3) : reversed(icosphere(r, 3)))),
  );
  expect(kinds(nest)).toEqual(['body', 'void', 'body', 'void']);
  expect(groups(nest)).toBe(2);
  const many = join(
    ...Array.from({ length: 1000 }, (_, i) =>
      moved(box(1), [2 * (i % 10), 2 * (Math.floor(i / 10) % 10), 2 * Math.floor(i / 100)]),
    ),
  );
  expect(groups(many)).toBe(1000);
});

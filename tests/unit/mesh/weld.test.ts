import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { weld } from '../../../src/core/mesh/weld.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, icosphere, join, random, torus, toSoup, transformed } from '../../shapes.ts';

const poses: { scale: number; turn: Vec3; shift: Vec3 }[] = [
  { scale: 1, turn: [0, 0, 0], shift: [0, 0, 0] },
  { scale: 9.5, turn: [17, -40, 211], shift: [50, -20, 8] },
  { scale: 0.01, turn: [90, 0, 45], shift: [0, 0, 0] },
];

describe.each(poses)('weld %j', (pose) => {
  const shape = transformed(torus(10, 3, 40, 20), pose);

  it('finds the vertices again and keeps facets in order', () => {
    const { mesh, toleranceUsed } = weld(toSoup(shape), uninterrupted);
    expect(toleranceUsed).toBe(0);
    expect(mesh.positions.length).toBe(shape.positions.length);
    expect(toSoup(mesh)).toEqual(toSoup(shape));
  });

  it('closes corners that are off by a few float steps', () => {
    const next = random(11);
    const soup = toSoup(shape).map((value) => value + (next() - 0.5) * 2e-6 * 26 * pose.scale);
    const { mesh, toleranceUsed } = weld(soup, uninterrupted);
    const report = reportTopology(mesh, uninterrupted);
    expect(report.watertight, 'seed 11').toBe(true);
    expect(report.vertices).toBe(shape.positions.length / 3);
    expect(toleranceUsed).toBeGreaterThan(0);
    expect(toleranceUsed).toBeLessThan(2e-5 * 40 * pose.scale);
  });
});

it('takes −0 for 0', () => {
  const soup = toSoup(transformed(box(2), { shift: [1, 1, 1] }));
  const signed = soup.map((value, i) => (value === 0 && i % 2 === 0 ? -0 : value));
  const { mesh } = weld(signed, uninterrupted);
  expect(mesh.positions.length / 3).toBe(8);
  expect(mesh.positions.some((value) => Object.is(value, -0))).toBe(false);
});

it('leaves closed fine detail alone when another part is open', () => {
  const speck = transformed(icosphere(0.0005, 1), { shift: [3, 0, 0] });
  const open = toSoup(join(transformed(box(200), { shift: [300, 0, 0] }), speck)).slice(9);
  const { mesh } = weld(open, uninterrupted);
  expect(reportTopology(mesh, uninterrupted).degenerate).toBe(0);
});

it('does not pull a chain of near points into one', () => {
  // A strip of 4000 open triangles, each corner within tolerance of the next.
  const soup: number[] = [0, 0, 0, 200, 0, 0, 0, 200, 0];
  for (let i = 0; i < 4000; i++) soup.push(i * 5e-4, 0, 10, (i + 1) * 5e-4, 0, 10, i * 5e-4, 50, 10);
  const { mesh } = weld(Float32Array.from(soup), uninterrupted);
  const xs = [...mesh.positions].filter((_, i) => i % 3 === 0 && mesh.positions[i + 2] === 10);
  expect(Math.max(...xs)).toBeGreaterThan(1.99);
});

it('copes with a soup that nothing joins and with an empty one', () => {
  const next = random(3);
  const soup = Float32Array.from({ length: 90_000 }, () => next() * 100);
  expect(weld(soup, uninterrupted).mesh.positions.length / 3).toBeGreaterThan(29_900);
  expect(weld(new Float32Array(0), uninterrupted).mesh.triangles.length).toBe(0);
});

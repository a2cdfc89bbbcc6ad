import type { ManifoldToplevel } from 'manifold-3d';
import { beforeAll, describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { coupon } from '../../../src/core/trueSize/coupon.ts';
import { couponSolid } from '../../../src/solid/couponSolid.ts';
import { insetBase } from '../../../src/solid/insetBase.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { box, cone, join, polygonArea, transformed, tube, volumeOf } from '../../shapes.ts';

let kernel: ManifoldToplevel;
beforeAll(async () => {
  kernel = await openSolid();
});

const base = { spreadMm: 0.1, layers: 5, layerMm: 0.05 };
const standing = (mesh: Mesh, up: number): Mesh => transformed(mesh, { shift: [0, 0, up] });

function inset(mesh: Mesh, of: Partial<typeof base> = {}) {
  const made = insetBase(kernel, mesh, { ...base, ...of }, uninterrupted);
  if (!made.ok) throw new Error(made.error.message);
  expect(reportTopology(made.value.mesh, uninterrupted)).toMatchObject({ watertight: true });
  return made.value;
}

describe('the base layers drawn narrower', () => {
  it('a block: by the spread all round, in these layers and nowhere else', () => {
    const { mesh, notes } = inset(standing(box([20, 30, 10]), 5));
    expect(volumeOf(mesh)).toBeCloseTo(20 * 30 * 9.75 + 19.8 * 29.8 * 0.25, 2);
    expect(notes).toEqual([]);
    for (let v = 0; v < mesh.positions.length; v += 3) {
      const [x, z] = [mesh.positions[v]!, mesh.positions[v + 2]!];
      if (z < 0.249) expect(Math.abs(x)).toBeCloseTo(9.9, 4);
      if (z > 0.251) expect(Math.abs(x)).toBeCloseTo(10, 4);
    }
  });

  it('a ring: its hole becomes wider by as much', () => {
    const { mesh } = inset(tube(12, 8, 6));
    // A regular polygon's sides move inward by the spread, its corners by that over cos(π/n).
    const side = 0.1 / Math.cos(Math.PI / 64);
    const rim = polygonArea(12 - side, 64) - polygonArea(8 + side, 64);
    const whole = polygonArea(12, 64) - polygonArea(8, 64);
    expect(volumeOf(mesh)).toBeCloseTo(whole * 5.75 + rim * 0.25, 1);
  });

  it('a block that begins in the upper half of a layer: from the next one on', () => {
    const { mesh, notes } = inset(standing(box([20, 30, 10]), 5.04));
    expect(volumeOf(mesh)).toBeCloseTo(20 * 30 * 9.79 + 19.8 * 29.8 * 0.2, 2);
    expect(notes).toEqual([]);
  });

  it.each([
    [7, 0.05],
    [8, 0.04],
    [10, 0.05],
    [5, 0.04],
  ])('%i layers of %f mm are one body with what stands on them', (layers, layerMm) => {
    const { mesh } = inset(standing(box([20, 30, 10]), 5), { layers, layerMm });
    expect(reportTopology(mesh, uninterrupted)).toMatchObject({ watertight: true, shells: 1 });
    const tall = layers * layerMm;
    expect(volumeOf(mesh) / (20 * 30 * (10 - tall) + 19.8 * 29.8 * tall)).toBeCloseTo(1, 4);
  });

  it('a cane beside a wide foot stays, and is told', () => {
    const cane = standing(box([0.3, 0.3, 10]), 5);
    const foot = transformed(box([20, 20, 10]), { shift: [30, 0, 5] });
    const { mesh, notes } = inset(join(foot, cane), { spreadMm: 0.16 });
    expect(notes[0]).toContain('too narrow in layer 0');
    expect(reportTopology(mesh, uninterrupted)).toMatchObject({ watertight: true, shells: 2 });
    const low = mesh.positions.filter((_, at) => at % 3 === 0 && mesh.positions[at + 2]! < 0.01);
    expect(Math.min(...low)).toBeCloseTo(-0.15, 5);
  });

  it('what does not reach down to them stays to the bit', () => {
    const raised = standing(box(10), 5.25);
    expect(inset(raised).mesh).toBe(raised);
  });

  it('a tip that is hardly there stays as it is, and that is told', () => {
    const tip = transformed(cone(0.2, 4), { turn: [180, 0, 0], shift: [0, 0, 2] });
    const { notes } = inset(tip);
    expect(notes[0]).toContain('too narrow in layer 0 to be drawn 0.1 mm smaller');
  });
});

it('the coupon is one closed body of the volume that its measures give', () => {
  const made = couponSolid(kernel);
  if (!made.ok) throw new Error(made.error.message);
  expect(reportTopology(made.value, uninterrupted)).toMatchObject({ watertight: true, shells: 1 });
  const { armMm, armWidthMm, armHeightMm, postMm, holeMm } = coupon;
  const arms = (2 * armMm - armWidthMm) * armWidthMm * armHeightMm;
  const holes = 2 * Math.PI * (holeMm / 2) ** 2 * armHeightMm;
  expect(volumeOf(made.value)).toBeCloseTo(arms + armWidthMm ** 2 * postMm - holes, 1);
});

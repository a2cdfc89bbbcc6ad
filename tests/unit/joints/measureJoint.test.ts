import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Joint } from '../../../src/core/joints/joint.ts';
import { measureJoint } from '../../../src/core/joints/measureJoint.ts';
import { signedDistances } from '../../../src/core/joints/signedDistance.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { dot, type Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';
import { bodyOf, socket } from './bodies.ts';

const joint = (first: Mesh, second: Mesh, reachMm = 1): Joint | null =>
  measureJoint(bodyOf(first), bodyOf(second), reachMm, uninterrupted);

/** A box key, `wide` each way, from z = −8 up to 4. */
const key = (wide: number): Mesh => shapes.transformed(shapes.box([wide, wide, 12]), { shift: [0, 0, -2] });

describe('a box key in a box socket', () => {
  // 0.2 mm on each side, 0.5 mm under its end.
  const [plug, block] = [key(10), socket(20, 14, 10.4, 8.5)];
  const found = joint(plug, block)!;

  it('has its gap on every side, over the whole contact', () => {
    const { slide } = found;
    for (const figure of ['least', 'q5', 'q25', 'median', 'q75', 'q95'] as const) {
      expect(slide![figure], figure).toBeCloseTo(0.2, 5);
    }
    // Four sides 8 mm deep and 10 mm wide, 10.4 mm of the socket; pieces at the rim count whole or not at all.
    expect(slide!.areaMm2).toBeGreaterThan(320);
    expect(slide!.areaMm2).toBeLessThan(340);
  });

  it('has the gap under its end among all faces, which is no fault of the fit', () => {
    const { gap } = found;
    expect(gap.areaMm2 - found.slide!.areaMm2).toBeCloseTo(100, -1);
    expect(gap.q95).toBeCloseTo(0.5, 5);
    expect(found.overlap).toBeNull();
  });

  it('is told apart from its socket, and comes out straight', () => {
    expect(found.plug).toBe('first');
    expect(found.off[2]).toBeCloseTo(1, 6);
    expect(found.caught).toBe(0);
    expect(found.regions).toHaveLength(1);
  });

  it('is the same seen from the other part', () => {
    const swapped = joint(block, plug)!;
    expect(swapped.plug).toBe('second');
    expect(swapped.off[2]).toBeCloseTo(-1, 6);
    for (const [own, other] of [
      [swapped.slide!, found.slide!],
      [swapped.gap, found.gap],
    ] as const) {
      expect({ ...own, areaMm2: 0 }).toEqual({ ...other, areaMm2: 0 });
      expect(own.areaMm2).toBeCloseTo(other.areaMm2, 9);
    }
  });

  it('is the same turned any way', () => {
    const turn = { turn: [31, -47, 12], shift: [40, -7, 3] } as const;
    const turned = joint(shapes.transformed(plug, turn), shapes.transformed(block, turn))!;
    const { slide } = turned;
    for (const figure of ['q5', 'median', 'q95'] as const) expect(slide![figure]).toBeCloseTo(0.2, 4);
    expect(slide!.areaMm2).toBeCloseTo(found.slide!.areaMm2, -1);
    expect(turned.plug).toBe('first');
    expect(dot(turned.off, shapes.turned([0, 0, 1], turn.turn))).toBeGreaterThan(Math.cos(0.005));
  });

  it('has gaps that grow with the kit', () => {
    const large = { scale: 1.5 };
    const grown = joint(shapes.transformed(plug, large), shapes.transformed(block, large), 1.5)!;
    expect(grown.slide!.median).toBeCloseTo(0.3, 5);
    expect(grown.slide!.areaMm2 / found.slide!.areaMm2 / 2.25).toBeCloseTo(1, 1);
  });

  it('is no joint out of reach', () => {
    expect(joint(shapes.transformed(plug, { shift: [0, 0, 20] }), block)).toBeNull();
    expect(joint(plug, block, 0.15)).toBeNull();
  });
});

describe('solid that both parts take', () => {
  it('is as deep as the key is too wide, and has the volume of its frame', () => {
    const { overlap, slide } = joint(key(10.4), socket(20, 14, 10, 8.5))!;
    expect(slide!.median).toBeCloseTo(-0.2, 5);
    // In the key's corners the nearest surface is across the corner of the socket.
    expect(overlap!.depthMm).toBeGreaterThan(0.2 - 1e-6);
    expect(overlap!.depthMm).toBeLessThan(0.2 * Math.SQRT2 + 1e-6);
    expect(overlap!.volumeMm3 / ((10.4 ** 2 - 10 ** 2) * 8)).toBeCloseTo(1, 1);
  });

  it('is found without any socket, as deep as it goes', () => {
    const rod = shapes.transformed(shapes.cylinder(3, 10, 96), { shift: [0, 0, -6] });
    const block = shapes.transformed(shapes.box(30), { shift: [0, 0, -15] });
    const { overlap, plug, off } = joint(rod, block)!;
    expect(overlap!.depthMm).toBeCloseTo(6, 1);
    // Rows half a millimetre apart over a circle of 6 mm.
    const volume = shapes.polygonArea(3, 96) * 6;
    expect(Math.abs(overlap!.volumeMm3 - volume)).toBeLessThan(0.02 * volume);
    expect(overlap!.at[2]).toBeLessThan(-5.5);
    expect(plug).toBe('first');
    expect(off[2]).toBeGreaterThan(0.999);
  });

  it('is found of a part that lies wholly in another', () => {
    const { overlap } = joint(shapes.box(4), shapes.box(30))!;
    expect(overlap!.volumeMm3).toBeCloseTo(64, 0);
    expect(overlap!.depthMm).toBeCloseTo(13, 5);
  });
});

describe('other joints', () => {
  it('a ball in a shell has its gap all round, and no way out', () => {
    const ball = shapes.icosphere(10, 5);
    const shell = shapes.join(shapes.icosphere(14, 5), shapes.reversed(shapes.icosphere(10.3, 5)));
    const { gap, plug, caught, overlap } = joint(ball, shell)!;
    // Facets of this size stand 10·(1 − cos) = 0.01 mm inside the sphere at most.
    expect(gap.least).toBeGreaterThan(0.28);
    expect(gap.most).toBeLessThan(0.32);
    expect(gap.areaMm2).toBeCloseTo(4 * Math.PI * ((10 ** 2 + 10.3 ** 2) / 2), -1.5);
    expect(plug).toBe('first');
    expect(caught).toBeGreaterThan(0.3);
    expect(overlap).toBeNull();
  });

  it('faces laid against each other neither enclose nor slide', () => {
    const lower = shapes.box(10);
    const upper = shapes.transformed(shapes.box(10), { shift: [5, 0, 10] });
    const { gap, slide, plug, off, overlap } = joint(lower, upper)!;
    expect(gap.median).toBe(0);
    expect(gap.areaMm2).toBeCloseTo(50, 0);
    expect(slide).toBeNull();
    expect(plug).toBeNull();
    expect(off[2]).toBeCloseTo(-1, 6);
    expect(overlap).toBeNull();
  });

  it('two dowels of one part are two regions', () => {
    const dowel = (x: number) => shapes.transformed(shapes.cylinder(2, 8, 48), { shift: [x, 0, -5] });
    const hole = (x: number) =>
      shapes.transformed(shapes.reversed(shapes.cylinder(2.15, 6, 48)), { shift: [x, 0, -5.5] });
    // Voids within a block, so that only the dowels' ends inside it count.
    const block = shapes.join(
      shapes.transformed(shapes.box([40, 10, 10]), { shift: [0, 0, -2.5] }),
      hole(-12),
      hole(12),
    );
    const short = (x: number) => shapes.transformed(shapes.cylinder(2, 5, 48), { shift: [x, 0, -5] });
    expect(joint(shapes.join(dowel(-12), dowel(12)), block)!.overlap).not.toBeNull();
    const { regions, slide, plug } = joint(shapes.join(short(-12), short(12)), block)!;
    expect(regions).toHaveLength(2);
    expect(regions.map(({ at }) => Math.round(at[0]))).toEqual([-12, 12]);
    expect(slide!.median).toBeCloseTo(0.15, 2);
    expect(plug).toBe('first');
  });
});

it('facets that lie upside down do not put what stands before them inside', () => {
  const block = shapes.transformed(shapes.box([12, 12, 4]), { shift: [0, 0, -2] });
  // A fold that simplifying left over, as a speck of its own: 0.65 mm under the other part.
  const speck = shapes.transformed(shapes.reversed(shapes.icosphere(0.1, 2)), { shift: [0, 0, 0.75] });
  const above = shapes.transformed(shapes.box([12, 12, 4]), { shift: [0, 0, 3.5] });
  const { overlap, gap } = joint(above, shapes.join(block, speck), 2)!;
  expect(overlap).toBeNull();
  expect(gap.median).toBeCloseTo(1.5, 5);
});

it('a needle through a gap is no clash, a cone is one', () => {
  const block = shapes.transformed(shapes.box([12, 12, 4]), { shift: [0, 0, -2] });
  const standing = (radius: number) =>
    shapes.join(
      shapes.transformed(shapes.box([12, 12, 4]), { shift: [0, 0, 2.3] }),
      shapes.transformed(shapes.cone(radius, 1), { turn: [180, 0, 0], shift: [0, 0, 0.5] }),
    );
  expect(joint(standing(0.15), block)!.overlap).toBeNull();
  expect(joint(standing(2), block)!.overlap!.depthMm).toBeGreaterThan(0.15);
});

describe('a signed distance', () => {
  it('is that of a box, at faces, edges and corners alike', () => {
    const distanceTo = signedDistances(bodyOf(shapes.box([10, 6, 4])).tree);
    const next = shapes.random(11);
    for (let n = 0; n < 3000; n++) {
      const point: Vec3 = [18 * (next() - 0.5), 12 * (next() - 0.5), 9 * (next() - 0.5)];
      const beyond = [5, 3, 2].map((half, axis) => Math.abs(point[axis]!) - half);
      const outside = Math.hypot(...beyond.map((way) => Math.max(way, 0)));
      const expected = outside > 0 ? outside : Math.max(...beyond);
      expect(distanceTo(point, Infinity)!.distance, point.join()).toBeCloseTo(expected, 5);
    }
  });

  it('keeps its sign beyond the edge of a thin wedge', () => {
    // A knife edge along y, 10° between its faces: the nearer face alone would tell the wrong side.
    const edge = Math.tan((5 * Math.PI) / 180) * 10;
    const wedge = shapes.meshOf(
      [0, -5, 0, 0, 5, 0, -10, -5, edge, -10, 5, edge, -10, -5, -edge, -10, 5, -edge],
      [0, 1, 3, 0, 3, 2, 1, 0, 4, 1, 4, 5, 2, 3, 5, 2, 5, 4, 0, 2, 4, 1, 5, 3],
    );
    expect(shapes.volumeOf(wedge)).toBeGreaterThan(0);
    const distanceTo = signedDistances(bodyOf(wedge).tree);
    for (const z of [-0.1, -0.05, 0, 0.05, 0.1]) {
      expect(distanceTo([0.01, 0.3, z], Infinity)!.distance).toBeCloseTo(Math.hypot(0.01, z), 5);
    }
    expect(distanceTo([-5, 0.3, 0], Infinity)!.distance).toBeLessThan(0);
  });
});

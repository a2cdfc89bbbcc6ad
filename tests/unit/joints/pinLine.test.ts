import { describe, expect, it } from 'vitest';
import { holesFault, pinHoles, withHoles } from '../../../src/core/joints/pinHoles.ts';
import { pinLine } from '../../../src/core/joints/pinLine.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import * as shapes from '../../shapes.ts';
import { socket } from './bodies.ts';

const closeTo = (point: Vec3) => point.map((along) => expect.closeTo(along, 4));
const block = (size: Vec3, shift: Vec3) => buildSurfaceIndex(shapes.transformed(shapes.box(size), { shift }));

describe('a pin through a joint', () => {
  it('goes straight from face to face where parts are laid against each other', () => {
    const line = pinLine(
      block([20, 20, 10], [0, 0, 5]),
      block([20, 20, 30], [0, 0, -15.2]),
      [1, 2, 0],
      [0, 0, 1],
    )!;
    expect(line.first).toEqual({ at: closeTo([1, 2, 0]), toward: [0, 0, 1], roomMm: expect.closeTo(10, 4) });
    expect(line.second.at).toEqual(closeTo([1, 2, -0.2]));
    expect(line.second.toward.map((along) => along + 0)).toEqual([0, 0, -1]);
    expect(line.second.roomMm).toBeCloseTo(30, 4);
  });

  it('goes from the end of a plug into the floor of its socket', () => {
    const key = block([10, 10, 12], [0, 0, -2]);
    const line = pinLine(key, buildSurfaceIndex(socket(20, 14, 10.4, 8.5)), [0, 0, -4], [0, 0, 1])!;
    expect(line.first.at).toEqual(closeTo([0, 0, -8]));
    expect(line.second.at).toEqual(closeTo([0, 0, -8.5]));
    expect(line.first.roomMm).toBeCloseTo(12, 4);
    expect(line.second.roomMm).toBeCloseTo(5.5, 4);
  });

  it('is none beside the parts', () => {
    expect(
      pinLine(block([20, 20, 10], [0, 0, 5]), block([20, 20, 30], [0, 0, -15]), [30, 0, 0], [0, 0, 1]),
    ).toBeNull();
  });
});

describe('its holes', () => {
  const load = { beyond: ['head'], massG: 2000, at: [40, 0, 0] as const, leverMm: 40, armMm: 40 };
  const pin = {
    metal: 'stainless',
    yieldMpa: null,
    diameter: null,
    depth: null,
    safety: 2,
    handling: 1,
    clearance: 0.15,
    at: null,
  } as const;

  it('fit the next rod that is sold, with room for glue', () => {
    // 4.272 mm are needed.
    const holes = pinHoles(load, pin, 15);
    expect(holes.rodMm).toBe(4.5);
    expect(holes.boreMm).toBeCloseTo(4.65, 9);
    expect(holes.depthMm).toBeGreaterThanOrEqual(3 * 4.5 + 0.5);
    expect(pinHoles(load, { ...pin, diameter: 6, depth: 20 }, 15)).toEqual({
      rodMm: 6,
      boreMm: 6.15,
      depthMm: 20.5,
    });
  });

  it('are refused where a part is too thin for them', () => {
    const holes = { rodMm: 3, boreMm: 3.15, depthMm: 10 };
    const mouth = (roomMm: number) => ({ at: [0, 0, 0] as const, toward: [0, 0, 1] as const, roomMm });
    expect(holesFault(holes, { first: mouth(12), second: mouth(12) }, ['a', 'b'])).toBeNull();
    expect(holesFault(holes, { first: mouth(12), second: mouth(11) }, ['a', 'b'])).toContain('b has 11 mm');
    expect(holesFault(holes, null, ['a', 'b'])).toContain('say at');
  });

  it('are written once, as tubes, and nothing else is touched', () => {
    const text = 'kit: x\nscale: { factor: 2 }\nparts:\n  arm:   # left\n    file: a.stl\n';
    const hole = {
      part: 'arm',
      entry: { at: [1, 2, 3] as const, toward: [0, 0, 1] as const, diameter: 3.15, depth: 10 },
    };
    const once = withHoles(text, parseManifest(text).manifest!, [hole])!;
    expect(once).toContain('# left');
    expect(parseManifest(once).manifest!.parts[0]!.openings).toEqual([
      { id: 'tubes/0', kind: 'tube', at: [1, 2, 3], diameter: 3.15, depth: 10, toward: [0, 0, 1] },
    ]);
    expect(withHoles(once, parseManifest(once).manifest!, [hole])).toBe(once);
    // A thicker rod later on: the same hole, wider.
    const wider = { ...hole, entry: { ...hole.entry, diameter: hole.entry.diameter + 1 } };
    const again = withHoles(once, parseManifest(once).manifest!, [wider])!;
    const tubes = parseManifest(again).manifest!.parts.flatMap(({ openings }) => openings);
    expect(tubes.map(({ diameter }) => diameter)).toEqual([wider.entry.diameter]);
  });
});

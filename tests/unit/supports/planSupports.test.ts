import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { eulerStrut } from '../../../src/core/physics/eulerStrut.ts';
import { findRun } from '../../../src/core/rays/findRun.ts';
import type { RunsByLayer } from '../../../src/core/rays/runsByLayer.ts';
import { fillColumns } from '../../../src/core/supports/fillColumns.ts';
import { freeSpace as reader } from '../../../src/core/supports/freeSpace.ts';
import { routeStrut, type StrutRoom } from '../../../src/core/supports/routeStrut.ts';
import type { SupportedSolid } from '../../../src/core/supports/supportedSolid.ts';
import type { Support, SupportPlan } from '../../../src/core/supports/supportPlan.ts';
import { topUnder } from '../../../src/core/supports/topUnder.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { routeStrut as routeByRings } from '../../oracles/routeByRings.ts';
import { box, hollowSphere, icosphere, join, transformed } from '../../shapes.ts';
import { planOf, solidAt, table } from './supported.ts';

const at = (size: Vec3, shift: Vec3) => transformed(box(size), { shift });

/** Points of a strut's middle line, a fifth of a mm apart, from under the tip on. */
function* along({ line }: Support): Generator<Vec3> {
  for (let n = 0; n + 1 < line.length; n++) {
    const [from, to] = [line[n]!, line[n + 1]!];
    const length = Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
    for (let s = 0; s <= length; s += 0.2) {
      yield [0, 1, 2].map(
        (axis) => from[axis]! + (s / length) * (to[axis]! - from[axis]!),
      ) as unknown as Vec3;
    }
  }
}

/** Brute force: whether the solid's own run holds the point. */
function inSolid({ solid }: ReturnType<typeof solidAt>, [x, y, z]: Vec3): boolean {
  const { lattice, blocks } = solid;
  const layer = Math.floor((z - lattice.z0) / lattice.dz);
  const row = Math.floor((y - lattice.y0) / lattice.dy);
  if (layer < 0 || layer >= lattice.layers || row < 0 || row >= lattice.rows) return false;
  return findRun(blocks[0]!.rows, layer * lattice.rows + row, x) >= 0;
}

const freeSpace = (solid: RunsByLayer, xLow: number, xHigh: number, clearanceMm: number) =>
  reader(fillColumns(solid, xLow, xHigh, [{ clearanceMm }], uninterrupted)[0]!);

/** For struts of 1 mm, on a plate of 192 × 120 mm. */
function roomOf({ solid, xLow, xHigh }: SupportedSolid, footMm = 0): StrutRoom {
  const ways = [{ clearanceMm: 0 }, { clearanceMm: 0.9 }, { clearanceMm: footMm, upToMm: 1.2 }];
  const [bare, clear, feet] = fillColumns(solid, xLow, xHigh, ways, uninterrupted).map(reader);
  return {
    bare: bare!,
    clear: clear!,
    feet: feet!,
    raftMm: 1.2,
    topUnder: (x, y, z) => topUnder(solid, x, y, z),
    halfPlate: [96, 60],
  };
}

const feet = ({ supports }: SupportPlan) => supports.map(({ line }) => line.at(-1)!);

describe('planSupports', () => {
  test('under a sphere every strut is upright and stands on the plate', () => {
    const plan = planOf(transformed(icosphere(12, 5), { shift: [0, 0, 20] }));
    expect(plan.unreached).toEqual([]);
    expect(plan.worst!.reserve).toBeGreaterThanOrEqual(1);
    for (const { stands, line, contact } of plan.supports) {
      expect([stands, line.length, line.at(-1)![2]]).toEqual(['plate', 2, 0]);
      expect([line[0]![0], line[0]![1]]).toEqual([contact.at[0], contact.at[1]]);
    }
  });

  test('what lies in the way is passed at a lean of 45° at most, with nothing touched', () => {
    // A plate hangs over a slab that is narrower than it.
    const shape = join(at([40, 30, 4], [0, 0, 30]), at([12, 40, 4], [0, 0, 8]), at([4, 4, 22], [0, 0, 18]));
    const plan = planOf(shape);
    const solid = solidAt(shape);
    const leaning = plan.supports.filter(({ line }) => line.length === 3);
    expect(leaning.length).toBeGreaterThan(5);
    for (const { line } of leaning) {
      const [head, knee] = line as [Vec3, Vec3, Vec3];
      expect(Math.hypot(knee[0] - head[0], knee[1] - head[1])).toBeLessThanOrEqual(head[2] - knee[2] + 1e-9);
    }
    for (const support of plan.supports.filter(({ stands }) => stands === 'plate')) {
      for (const point of along(support)) expect(inSolid(solid, point), String(point)).toBe(false);
    }
  });

  test('inside a hollow a strut stands on the part, where no way leads to the plate', () => {
    // A bead hangs from the roof of a hollow sphere.
    const ball = transformed(hollowSphere(20, 2, 96), { shift: [0, 0, 25] });
    const bead = at([3, 3, 14], [0, 0, 38]);
    const plan = planOf(join(ball, bead));
    const inner = plan.supports.find(({ contact }) => contact.isStart && contact.layer === 310)!;
    expect(inner.stands).toBe('part');
    // From under the bead at z = 31 to the hollow's floor at z = 7.
    expect(inner.line[0]![2]).toBeCloseTo(29, 1);
    expect(Math.abs(inner.line.at(-1)![2] - 7)).toBeLessThan(0.11);
    expect(plan.unreached).toEqual([]);
  });

  test('in a hollow only what is flatter than 19° is held, and all of that', () => {
    // The inside of a hollow sphere of 18 mm; outside up to 45° is held.
    const plan = planOf(transformed(hollowSphere(20, 2, 96), { shift: [0, 0, 25] }), { selfSupportDeg: 45 });
    const inner = plan.supports.filter(({ stands }) => stands === 'part');
    const away = inner.map(({ contact }) => Math.hypot(contact.at[0], contact.at[1]));
    const cap = 18 * Math.sin((19 * Math.PI) / 180);
    for (const r of away) expect(r).toBeLessThan(cap + 0.7);
    for (let x = -cap; x <= cap; x += 0.5) {
      for (let y = -cap; y <= cap; y += 0.5) {
        if (Math.hypot(x, y) > cap) continue;
        const near = inner.filter(({ contact }) => Math.hypot(contact.at[0] - x, contact.at[1] - y) <= 6);
        expect(near.length, `${x}, ${y}`).toBeGreaterThan(0);
      }
    }
    const outer = plan.supports.filter(({ stands }) => stands === 'plate');
    expect(Math.max(...outer.map(({ contact }) => Math.hypot(contact.at[0], contact.at[1])))).toBeGreaterThan(
      20 * Math.sin((40 * Math.PI) / 180),
    );
  });

  test('no knee is so low that its strut would reach below the plate', () => {
    const plan = planOf(at([212, 20, 3], [0, 0, 13.5]));
    const knees = plan.supports.filter(({ line }) => line.length === 3).map(({ line }) => line[1]![2]);
    expect(knees.length).toBeGreaterThan(0);
    expect(Math.min(...knees)).toBeGreaterThanOrEqual(2);
  });

  test('every foot is on the plate, also of a part that is wider than it', () => {
    const plan = planOf(at([210, 20, 3], [0, 0, 40]));
    for (const [x, y] of feet(plan)) expect([Math.abs(x) <= 96, Math.abs(y) <= 60]).toEqual([true, true]);
    expect(plan.supports.some(({ contact }) => Math.abs(contact.at[0]) > 100)).toBe(true);
  });

  test('a start a hair above the part gets a stub; one beyond the plate’s edge is told, and holds nothing', () => {
    // A peg begins 0.1 mm over a slab.
    const near = join(
      at([20, 20, 4], [0, 0, 2]),
      at([4, 4, 6.5], [5, 0, 7.35]),
      at([20, 20, 3], [0, 0, 12]),
      at([3, 3, 8], [-5, 0, 8]),
    );
    const stub = planOf(near).supports.find(({ contact }) => contact.layer === 41)!;
    expect([stub.stands, stub.line.at(-1)![2]]).toEqual(['part', 4]);
    const wide = join(
      at([260, 10, 4], [0, 0, 40]),
      at([4, 4, 20], [125, 0, 30]),
      at([20, 10, 38], [0, 0, 19]),
    );
    const plan = planOf(wide);
    expect(plan.unreached.map(({ layer }) => layer)).toEqual([200]);
    expect(plan.supports.some(({ contact }) => contact.layer === 200)).toBe(false);
  });

  test('a strut is as wide as Euler asks for its length and load', () => {
    const plan = planOf(at([14, 14, 4], [0, 0, 102]), {}, 30);
    const tall = plan.supports.filter(({ strutMm }) => strutMm > 1);
    expect(tall.length).toBeGreaterThan(0);
    for (const { loadN, strutMm, slender, freeMm } of plan.supports) {
      const length = 1e-3 * freeMm;
      expect(freeMm).toBeLessThanOrEqual(98 + 1e-9);
      if (!slender)
        expect(eulerStrut(strutMm * 1e-3, length, 800e6, 1)).toBeGreaterThanOrEqual(loadN * 0.999);
      if (strutMm > 1.2) expect(eulerStrut((strutMm - 0.11) * 1e-3, length, 800e6, 1)).toBeLessThan(loadN);
    }
  });

  test('where few tips do not hold, more stand under steeper surface, or nearer to each other', () => {
    const cone = transformed(icosphere(12, 5), { shift: [0, 0, 20] });
    const easy = planOf(cone);
    const hard = planOf(cone, {}, 60);
    expect([easy.spacingMm, easy.heldSlopeDeg]).toEqual([4, 19]);
    expect(hard.supports.length).toBeGreaterThan(easy.supports.length);
    expect(hard.heldSlopeDeg).toBeGreaterThan(19);
  });

  test('two bars beside each other are held each by tips of its own', () => {
    const bar = (y: number) => at([40, 1, 4], [0, y, 12]);
    const alone = planOf(bar(0)).supports.length;
    const both = planOf(join(bar(1.2), bar(-1.2))).supports;
    for (const side of [1, -1]) {
      const own = both.filter(({ contact }) => Math.sign(contact.at[1]) === side);
      expect(own.length).toBeGreaterThanOrEqual(alone - 1);
    }
  });

  test('the first try that holds is the plan', () => {
    for (const suction of [10, 100, 325]) {
      const plan = planOf(at([14, 14, 4], [0, 0, 22]), {}, suction);
      expect(plan.worst!.reserve, `${suction} N`).toBeGreaterThanOrEqual(1);
    }
  });

  test('what the resin itself could not bear does not hold, however many tips there are', () => {
    // Pulls on 144 mm² of 15 MPa.
    for (const suction of [2500, 6000]) {
      const plan = planOf(at([12, 12, 3], [0, 0, 21.5]), { spacingMm: 1 }, suction);
      expect(plan.worst!.reserve, `${suction} N`).toBeLessThan((144 * 15) / suction);
    }
  });

  test('a pin on the plate, too small to count, is judged by what the plate holds of it', () => {
    const pin = join(at([1, 1, 2], [0, 0, 1]), at([4, 4, 8], [0, 0, 6]));
    // Peel and weight of 16 mm² against 100 kPa on 1 mm².
    const { worst } = planOf(pin, { selfSupportDeg: 0, leastMm2: 5 });
    expect(worst!.at).toBeNull();
    expect(worst!.reserve).toBeLessThan(0.1 / 0.16);
  });

  test('struts keep clear of a wall beside them, and feet of the part on the plate', () => {
    const stem = at([10, 10, 30], [0, 0, 15]);
    const plan = planOf(join(stem, at([30, 10, 4], [0, 0, 32])));
    expect(plan.supports.length).toBeGreaterThan(6);
    for (const { line, strutMm } of plan.supports) {
      for (const [x] of line.slice(0, -1)) expect(Math.abs(x)).toBeGreaterThan(5 + strutMm / 2);
      expect(Math.abs(line.at(-1)![0])).toBeGreaterThan(5 + 3);
    }
  });

  test('the same part gives the same plan', () => {
    expect(planOf(table)).toEqual(planOf(table));
  });
});

test('with ways of struts that are known beforehand a plan comes out the same to the bit', () => {
  const hollow = join(
    transformed(hollowSphere(20, 2, 64), { shift: [0, 0, 25] }),
    at([3, 3, 14], [0, 0, 38]),
    at([210, 6, 3], [0, 0, 50]),
  );
  // What hangs over the shaft stands on its rim, beside its own place.
  const overShaft = join(
    at([10, 10, 10], [5.2, 0, 9]),
    at([10, 10, 10], [-5.2, 0, 9]),
    at([0.4, 10, 10], [0, 5.2, 9]),
    at([0.4, 10, 10], [0, -5.2, 9]),
    at([0.6, 0.6, 4], [0, 0, 17]),
    at([30, 30, 2], [0, 0, 20]),
  );
  const onRim = planOf(overShaft).supports.filter(
    ({ contact, line, stands }) => stands === 'part' && contact.at[0] !== line.at(-1)![0],
  );
  expect(onRim.length).toBeGreaterThan(0);
  for (const [mesh, suction] of [
    [overShaft, 0],
    [table, 0],
    [hollow, 0],
    [hollow, 60],
  ] as const) {
    const own = {
      byHand: [{ index: 0, at: [1, 2, 25] as const, tipMm: 0.7 }],
      isKeptFree: ([x]: Vec3) => x > 9 && x < 13,
      isShown: ([, y]: Vec3) => y > 1,
    };
    for (const by of [{}, own]) {
      const plan = planOf(mesh, {}, suction, by);
      expect(planOf(mesh, {}, suction, by, true)).toEqual(plan);
      expect(plan.supports.length).toBeGreaterThan(10);
    }
  }
});

describe('fillColumns and routeStrut', () => {
  test('blockedBelow is the top of what lies under a point, widened by the clearance', () => {
    const { solid, xLow, xHigh } = solidAt(at([10, 10, 4], [0, 0, 12]));
    const bare = freeSpace(solid, xLow, xHigh, 0);
    const clear = freeSpace(solid, xLow, xHigh, 2);
    expect(bare.blockedBelow(0, 0, 30)).toBeCloseTo(14, 9);
    expect(bare.blockedBelow(0, 0, 9)).toBeNull();
    expect([bare.isBlocked(0, 0, 12), bare.isBlocked(0, 0, 17)]).toEqual([true, false]);
    expect([bare.blockedBelow(6.2, 0, 30), clear.blockedBelow(6.2, 0, 30)]).toEqual([null, 14]);
    expect([clear.blockedBelow(8.2, 0, 30), clear.blockedBelow(500, 0, 30)]).toEqual([null, null]);
    // Wherever the cells lie, what is nearer than the clearance is blocked, and little more.
    for (let shift = 0; shift < 0.5; shift += 0.07) {
      const block = solidAt(at([10, 10, 4], [shift, 0, 12]));
      const near = freeSpace(block.solid, block.xLow, block.xHigh, 0.9);
      for (let away = 0.05; away < 2.5; away += 0.05) {
        const isBlocked = near.isBlocked(5 + shift + away, 0, 12);
        if (away < 0.9) expect(isBlocked, `${shift} ${away}`).toBe(true);
        if (away > 0.9 + 1) expect(isBlocked, `${shift} ${away}`).toBe(false);
      }
    }
    // Columns are words of 32 steps: the last step of a word counts, too.
    const slab = solidAt(at([10, 10, 0.4], [0, 0, 15.75]));
    const thin = freeSpace(slab.solid, slab.xLow, slab.xHigh, 0);
    expect([thin.blockedBelow(0, 0, 40), thin.blockedBelow(0, 0, 15)]).toEqual([16, null]);
    const [low] = fillColumns(solid, xLow, xHigh, [{ clearanceMm: 0, upToMm: 5 }], uninterrupted).map(reader);
    // Words of 16 mm.
    expect([low!.blockedBelow(0, 0, 30), low!.isBlocked(0, 0, 40)]).toEqual([14, false]);
    expect(clear.isFree([20, 0, 12], [-20, 0, 12])).toBe(false);
    expect(clear.isFree([20, 0, 30], [-20, 0, 18])).toBe(true);
  });

  test('a part of metres is looked at more coarsely, in bounded memory', () => {
    const { solid, xLow, xHigh } = solidAt(at([6000, 6000, 40], [0, 0, 3000]), 4, 4);
    const space = freeSpace(solid, xLow, xHigh, 0);
    expect(space.blockedBelow(100, 100, 4000)! / 3020).toBeCloseTo(1, 1);
    expect(space.blockedBelow(100, 100, 2900)).toBeNull();
  });

  test('in a slit too narrow for the clearance a strut grazes the part rather than leave the start unheld', () => {
    // A peg hangs in a slit of 1.2 mm between two walls that stand on the plate.
    const walls = join(at([10, 4, 20], [0, 2.6, 10]), at([10, 4, 20], [0, -2.6, 10]));
    const peg = at([10, 1, 4], [0, 0, 17]);
    const room = roomOf(solidAt(join(walls, at([12, 12, 2], [0, 0, 21]), peg)));
    expect(room.clear.isBlocked(0, 0, 10)).toBe(true);
    expect(routeStrut([0, 0, 15], true, room)).toEqual({
      line: [
        [0, 0, 13],
        [0, 0, 0],
      ],
      stands: 'plate',
    });
  });

  test('beside a start that shares its column with the part a strut passes over that', () => {
    // The edge of a block runs through the column under the start, and ends a millimetre below it.
    const room = roomOf(solidAt(join(at([10, 20, 10], [5.1, 0, 9]), at([0.6, 0.6, 4], [-0.1, 0, 17]))));
    expect(room.bare.isBlocked(0, 0, 13)).toBe(true);
    const route = routeStrut([0, 0, 15], true, room)!;
    expect(route).toMatchObject({ stands: 'plate', line: [[0, 0, 14], {}, {}] });
    expect(route.line.at(-1)![0]).toBeLessThan(0);
  });

  test('over a shaft too narrow for any strut a start stands on its rim', () => {
    const sides = [
      at([10, 10, 10], [5.2, 0, 9]),
      at([10, 10, 10], [-5.2, 0, 9]),
      at([0.4, 10, 10], [0, 5.2, 9]),
      at([0.4, 10, 10], [0, -5.2, 9]),
    ];
    const room = roomOf(solidAt(join(...sides, at([0.6, 0.6, 4], [0, 0, 17]))));
    const { line, stands } = routeStrut([0, 0, 15], true, room)!;
    expect(stands).toBe('part');
    const [head, foot] = line as [Vec3, Vec3];
    expect(head).toEqual([0, 0, 14.5]);
    expect(foot[2]).toBeCloseTo(14, 9);
    expect(Math.hypot(foot[0], foot[1])).toBeCloseTo(0.25, 9);
  });

  test('a start right over the plate, beside the part, gets a stub', () => {
    const foot = join(at([10, 10, 8], [0, 0, 4]), at([0.4, 4, 6], [5.25, 0, 3.4]));
    const room = roomOf(solidAt(foot));
    expect(routeStrut([5.2, 0, 0.4], true, room)).toEqual({
      line: [
        [5.2, 0, 0],
        [5.2, 0, 0],
      ],
      stands: 'plate',
    });
    expect(routeStrut([5.2, 0, 0.4], true, { ...room, halfPlate: [4, 60] })).toBeNull();
  });

  test('a foot stands where the whole of it has room, the raft’s own thickness included', () => {
    // A ledge 20 mm up, over a step of the part that is 1.4 mm high: lower than the raft by its last layers.
    const step = join(
      at([10, 10, 22], [0, 0, 11]),
      at([30, 10, 1.4], [0, 0, 0.7]),
      at([50, 10, 2], [0, 0, 21]),
    );
    const solid = solidAt(step);
    const foot = (footMm: number, from: number) =>
      routeStrut([from, 0, 20], false, roomOf(solid, footMm))!.line.at(-1)![0];
    // The step ends at 15; the foot keeps its radius from it.
    expect(foot(0, 17)).toBe(17);
    expect(foot(4, 17)).toBeGreaterThan(19);
    expect(foot(4, 20)).toBe(20);
  });

  test('a contact over the part stands on it', () => {
    const room = roomOf(solidAt(at([10, 10, 4], [0, 0, 12])));
    expect(routeStrut([0, 0, 15.5], true, room)).toMatchObject({ stands: 'part' });
  });

  test('the way is the one that following every ray ring by ring finds, and so is the foot beyond the plate', () => {
    const shape = join(
      transformed(hollowSphere(20, 2, 64), { shift: [0, 0, 25] }),
      at([60, 8, 3], [0, 0, 50]),
      at([12, 40, 4], [10, 0, 3]),
    );
    const room = { ...roomOf(solidAt(shape), 4), halfPlate: [24, 17] as const };
    let [leaning, beyond] = [0, 0];
    for (let n = 0; n < 400; n++) {
      const place: Vec3 = [((n * 37) % 61) - 30, ((n * 53) % 45) - 22, 3 + ((n * 29) % 47)];
      for (const isStart of [false, true]) {
        const [own, slow]: [Vec3[], Vec3[]] = [[], []];
        const way = routeStrut(place, isStart, room, (foot) => own.push(foot));
        expect(way).toEqual(routeByRings(place, isStart, room, (foot) => slow.push(foot)));
        expect(own).toEqual(slow);
        if (way?.line.length === 3) leaning++;
        beyond += own.length;
      }
    }
    expect(leaning).toBeGreaterThan(50);
    expect(beyond).toBeGreaterThan(50);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buildChamberColumns } from '../../../src/core/chambers/buildChamberColumns.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { cupSuction } from '../../../src/core/physics/cupSuction.ts';
import { type FilmColumns, filmColumns } from '../../../src/core/physics/filmColumns.ts';
import { type FilmSqueeze, filmSqueeze } from '../../../src/core/physics/filmSqueeze.ts';
import { guessedSqueeze } from '../../../src/core/physics/guessedSqueeze.ts';
import { limbFilm } from '../../../src/core/physics/limbFilm.ts';
import { lobePull } from '../../../src/core/physics/lobeFlow.ts';
import { mouthFlow } from '../../../src/core/physics/mouthFlow.ts';
import { mouthPlan } from '../../../src/core/physics/mouthPlan.ts';
import type { LoadOpening } from '../../../src/core/physics/printedOpening.ts';
import { squeezeForce } from '../../../src/core/physics/squeezeForce.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { box, cylinder, join, transformed } from '../../shapes.ts';

const h = 0.05;
const floor = 6.5;
const wall = 1.5;

function bore(mouth: Vec3, axis: Vec3, diameter: number): LoadOpening {
  const placed = {
    id: 'vents/0',
    kind: 'vent' as const,
    mouth,
    axis,
    radius: diameter / 2,
    depth: 4,
    outward: 0,
  };
  return { chamber: 0, chamberDepthMm: wall, placed };
}
const throughFloor = (x: number, y: number, diameter: number): LoadOpening =>
  bore([x, y, floor - wall], [0, 0, 1], diameter);

const columnsOf = (cavity: Mesh): FilmColumns =>
  filmColumns(buildChamberColumns(cavity, new Uint32Array(cavity.triangles.length / 3), uninterrupted), h);

/** With the film `depthMm` over `floor`; the limb is found at `seedAt`. */
function squeezed(
  columns: FilmColumns,
  areaMm2: number,
  depthMm: number,
  openings: readonly LoadOpening[],
  seedAt: readonly [number, number] = [0, 0],
): FilmSqueeze | null {
  const { x0, y0, nx, spacing, start } = columns;
  const seedColumn = Math.floor((seedAt[0] - x0) / spacing) + nx * Math.floor((seedAt[1] - y0) / spacing);
  const look = {
    layer: Math.round((floor + depthMm) / h) - 1,
    seed: start[seedColumn]!,
    seedColumn,
    areaMm2,
    mouths: openings.map(mouthPlan),
    necks: [],
  };
  const found = limbFilm(columns, look);
  return found && filmSqueeze(found.film);
}

/** A hollow 60 × 40 mm whose floor lies at `floor` on the left and `rise` higher on the right. */
function wedge(rise: number): FilmColumns {
  const { positions, triangles } = transformed(box([60, 40, 30]), { shift: [0, 0, floor + 15] });
  const moved = positions.slice();
  for (let i = 0; i < moved.length; i += 3)
    if (moved[i + 2]! < floor + 1 && moved[i]! > 0) moved[i + 2]! += rise;
  return columnsOf({ positions: moved, triangles });
}
/** As wide as the left side, beside the floor. */
const slit = bore([-30 - wall, 0, floor], [1, 0, 0], 120);

describe('the film of a limb as its columns show it', () => {
  it.each([[0], [2], [4]])(
    'over a floor that rises by %f mm is the wedge fed along its deep side',
    (rise) => {
      const { force } = squeezed(wedge(rise), 2400, 5, [slit])!;
      // q = v·x from the shallow end, F = 12µv·W·∫ x²/d³ dx with d in whole layers; by quadrature.
      let exact = 0;
      const steps = 6000;
      for (let n = 0; n < steps; n++) {
        const x = (0.06 * (n + 0.5)) / steps;
        const depth = (100 - Math.ceil((rise * (1 - x / 0.06)) / h - 0.5)) * h * 1e-3;
        exact += ((12 * 0.04 * x * x) / depth ** 3) * (0.06 / steps);
      }
      expect(Math.abs(force / exact - 1)).toBeLessThan(0.06);
    },
  );

  it('sloping away from its mouth squeezes less than level at the same mean depth', () => {
    expect(squeezed(wedge(4), 2400, 6, [slit])!.force).toBeLessThan(
      squeezed(wedge(0), 2400, 4, [slit])!.force,
    );
  });

  it('with a step of the floor is the sum of its parts', () => {
    // The right third lies 2 mm higher; fed along the left side.
    const low = transformed(box([40, 40, 30]), { shift: [-10, 0, floor + 15] });
    const high = transformed(box([20, 40, 28]), { shift: [20, 0, floor + 16] });
    const { force } = squeezed(columnsOf(join(low, high)), 2400, 2.5, [slit], [-20, 0])!;
    const exact = 4 * 0.04 * (0.02 ** 3 / 0.5e-3 ** 3 + (0.06 ** 3 - 0.02 ** 3) / 2.5e-3 ** 3);
    expect(Math.abs(force / exact - 1)).toBeLessThan(0.1);
  });
});

describe('what a builder expects of vents', () => {
  const radius = Math.sqrt(1e4 / Math.PI);
  const disc = columnsOf(transformed(cylinder(radius, 12, 256), { shift: [0, 0, floor] }));
  const spot = fc
    .tuple(
      fc.double({ min: 0, max: 0.9 * radius, noNaN: true }),
      fc.double({ min: 0, max: 2 * Math.PI, noNaN: true }),
    )
    .map(([r, angle]): [number, number] => [r * Math.cos(angle), r * Math.sin(angle)]);
  const hole = fc.tuple(spot, fc.double({ min: 1, max: 20, noNaN: true }));
  const at = ([[x, y], diameter]: [[number, number], number]) => throughFloor(x, y, diameter);
  /** fast-check prints the seed of a failure. */
  const runs = { numRuns: 25 };

  it('a wider mouth never squeezes harder', () => {
    fc.assert(
      fc.property(hole, fc.double({ min: 1, max: 1.5, noNaN: true }), ([[x, y], diameter], wider) => {
        const of = (width: number) => squeezed(disc, 1e4, 0.5, [throughFloor(x, y, width)])!.force;
        expect(of(diameter * wider)).toBeLessThanOrEqual(of(diameter) * (1 + 1e-9));
      }),
      runs,
    );
  });

  it.each([
    [0, 0],
    [0.3, 0.2],
    [1.1, 0.7],
    [7.3, 3.1],
  ])(
    'a mouth at %f, %f that grows from half a millimetre to a third of the floor eases the squeeze all the way',
    (x, y) => {
      let before = Infinity;
      for (let diameter = 0.5; diameter < 60; diameter *= 1.06) {
        const { force } = squeezed(disc, 1e4, 0.5, [throughFloor(x, y, diameter)])!;
        expect(force, `${diameter} mm`).toBeLessThanOrEqual(before * (1 + 1e-9));
        before = force;
      }
    },
  );

  it('one mouth more never pulls harder, what it lets through counted', () => {
    const pull = (holes: readonly [[number, number], number][]) => {
      const openings = holes.map(at);
      const { force, catchment, exchange } = squeezed(disc, 1e4, 0.5, openings)!;
      const feed = {
        mouthOf: new Map(holes.map((_, n) => [n, n])),
        share: catchment.map((served) => served / 0.01),
        exchange: exchange.map((flow) => (flow * force) / 1e-4),
      };
      const vents = holes.map(([, diameter], opening) => ({
        id: 'vents/0' as const,
        opening,
        inAir: false,
        resistance: { linear: (0.3 * 24) / (diameter * 1e-3) ** 3, quadratic: 0 },
      }));
      const flow = mouthFlow(0.01, { perSpeed: force, feed }, vents, 0.3);
      const through = flow === null ? vents[0]!.resistance.linear * 0.01 ** 2 * 1e-6 : lobePull(flow, 1e-6);
      return force * 0.3 * 1e-6 + through;
    };
    fc.assert(
      fc.property(fc.array(hole, { minLength: 1, maxLength: 3 }), hole, (holes, other) => {
        // Two that share a node count as one.
        const apart = [...holes, other].every(([[x, y], d], n, all) =>
          all.every(([[a, b], e], m) => m === n || Math.hypot(x - a, y - b) > 5 + (d + e) / 2),
        );
        fc.pre(apart);
        expect(pull([...holes, other])).toBeLessThanOrEqual(pull(holes) * (1 + 1e-6));
      }),
      runs,
    );
  });

  it('a hole of 0.5 mm far away does not make good what a wide vent has to bring', () => {
    // By itself at the far end of a strip, the wide vent serves nearly all of the floor.
    const strip = columnsOf(transformed(box([100, 30, 12]), { shift: [0, 0, floor + 6] }));
    const wide = throughFloor(-40, 0, 15);
    const alone = squeezed(strip, 3000, 0.5, [wide])!.force * 0.3 * 1e-3;
    const { force, catchment, exchange } = squeezed(strip, 3000, 0.5, [wide, throughFloor(45, 0, 0.5)])!;
    const feed = {
      mouthOf: new Map([
        [0, 0],
        [1, 1],
      ]),
      share: catchment.map((served) => served / 3e-3),
      exchange: exchange.map((flow) => (flow * force) / 9e-6),
    };
    const vents = [15, 0.5].map((diameter, opening) => ({
      id: 'vents/0' as const,
      opening,
      inAir: false,
      resistance: { linear: (0.3 * 24) / (diameter * 1e-3) ** 3, quadratic: 0 },
    }));
    const mouths = mouthFlow(3e-3, { perSpeed: force, feed }, vents, 0.3)!;
    const demand = {
      area: 3e-3,
      floorArea: 3e-3,
      depth: 0.5e-3,
      speed: 1e-3,
      local: { perSpeed: force, greatestDepth: 0.5e-3 },
    };
    const both = cupSuction(
      demand,
      vents.map(({ resistance }) => resistance),
      0.3,
      null,
      mouths,
    ).total;
    // Taken as one void with two free mouths it would be a third.
    expect(force * 0.3 * 1e-3).toBeLessThan(0.45 * alone);
    expect(both).toBeGreaterThan(0.55 * alone);
    expect(both).toBeLessThan(alone);
  });

  it('a deeper hollow never squeezes harder', () => {
    let before = Infinity;
    for (const depth of [0.1, 0.2, 0.5, 1, 2, 4, 8, 11]) {
      const { force } = squeezed(disc, 1e4, depth, [throughFloor(20, 5, 8)])!;
      expect(force).toBeLessThan(before);
      before = force;
    }
  });

  it('what is guessed at is no less than a disc’s worst place, its rim, and its middle', () => {
    for (const diameter of [3, 6, 12]) {
      const guess = guessedSqueeze(0.01, 0.5e-3, diameter * 0.5e-3);
      expect(guess).toBeGreaterThan(squeezed(disc, 1e4, 0.5, [throughFloor(0, 0, diameter)])!.force);
      const rim = squeezed(disc, 1e4, 0.5, [throughFloor(radius - diameter / 2, 0, diameter)])!.force;
      expect(Math.abs(guess / rim - 1)).toBeLessThan(0.15);
    }
    expect(guessedSqueeze(0.01, 0.5e-3, 0.1)).toBe(squeezeForce(0.01, 1, 1, 0.5e-3));
  });
});

it('the ends of a neck count as one place', () => {
  // Two rooms 30 × 30 mm with a passage 3 mm wide and 20 mm long between them; the vent is in the left one.
  const rooms = [-25, 25].map((x) => transformed(box([30, 30, 20]), { shift: [x, 0, floor + 10] }));
  const passage = transformed(box([21, 3, 20]), { shift: [0, 0, floor + 10] });
  const columns = columnsOf(join(...rooms, passage));
  const vent = throughFloor(-35, 0, 10);
  const { x0, y0, nx, spacing, start } = columns;
  const seedColumn = Math.floor((-25 - x0) / spacing) + nx * Math.floor(-y0 / spacing);
  const force = (necks: readonly (readonly [Vec3, Vec3])[]) =>
    filmSqueeze(
      limbFilm(columns, {
        layer: Math.round((floor + 1) / h) - 1,
        seed: start[seedColumn]!,
        seedColumn,
        areaMm2: 1860,
        mouths: [mouthPlan(vent)],
        necks,
      })!.film,
    )!.force;
  const oneRoom = filmSqueeze(
    limbFilm(columnsOf(rooms[0]!), {
      layer: Math.round((floor + 1) / h) - 1,
      seed: 0,
      seedColumn: 0,
      areaMm2: 900,
      mouths: [mouthPlan(vent)],
      necks: [],
    })!.film,
  )!.force;
  const through = force([]);
  const bridged = force([
    [
      [-10.5, 0, floor + 1],
      [10.5, 0, floor + 1],
    ],
  ]);
  // Without the passage both rooms still have to be fed through the left one.
  expect(bridged).toBeLessThan(0.6 * through);
  expect(bridged).toBeGreaterThan(2.5 * oneRoom);
});

import { describe, expect, it } from 'vitest';
import { buildChamberColumns } from '../../../src/core/chambers/buildChamberColumns.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { CupState, CupTrack } from '../../../src/core/layers/cupTrack.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { cupDemands } from '../../../src/core/physics/cupProfile.ts';
import { filmColumns } from '../../../src/core/physics/filmColumns.ts';
import { filmSqueeze } from '../../../src/core/physics/filmSqueeze.ts';
import { guessedSqueeze } from '../../../src/core/physics/guessedSqueeze.ts';
import { limbFilm } from '../../../src/core/physics/limbFilm.ts';
import type { LoadSetting } from '../../../src/core/physics/loadSetting.ts';
import { type KeptFilms, localSqueeze } from '../../../src/core/physics/localSqueeze.ts';
import { mouthPlan } from '../../../src/core/physics/mouthPlan.ts';
import type { LoadOpening } from '../../../src/core/physics/printedOpening.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { cylinder, lathe, transformed } from '../../shapes.ts';

const h = 0.05;
const floor = 130;

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
  return { chamber: 0, chamberDepthMm: 1.5, placed };
}
const throughFloor = (x: number, y: number, diameter: number): LoadOpening =>
  bore([x, y, floor * h - 1.5], [0, 0, 1], diameter);

/** A chamber whose layer `i` above its floor has the given area and void so far. */
function track(areas: readonly number[], openings: number): CupTrack {
  let volumeMm3 = 0;
  const states = areas.map((areaMm2, i): CupState => {
    volumeMm3 += areaMm2 * h;
    return {
      layer: floor + i,
      limb: 0,
      areaMm2,
      volumeMm3,
      floorLayer: floor,
      floorAt: [0, 0, floor * h],
      joined: true,
      openings: Array.from({ length: openings }, (_, n) => n),
      sculptedMm2: 0,
    };
  });
  const toLayer = floor + areas.length - 1;
  return { fromLayer: floor, toLayer, states, opensAfter: false, chamber: 0, at: [0, 0, floor * h] };
}

function squeezeOf(cavity: Mesh, areas: readonly number[], openings: readonly LoadOpening[]): Float64Array {
  const columns = buildChamberColumns(cavity, new Uint32Array(cavity.triangles.length / 3), uninterrupted);
  const input = {
    columns,
    tracks: [track(areas, openings.length)],
    openings,
    lobes: null,
    layerHeight: h,
    leastForce: 1,
    mostPressure: Infinity,
    kept: new Map(),
  };
  return localSqueeze(input, uninterrupted)[0]!.perSpeed;
}

const radius = Math.sqrt(1e4 / Math.PI);
const disc = transformed(cylinder(radius, 12, 256), { shift: [0, 0, floor * h] });
/** Fed through a hole in the middle of a closed disc; see thinFilm.test.ts. N for 1 Pa·s and 1 m/s. */
function ring(R: number, a: number, depth: number): number {
  const logarithm = (R ** 4 / 2) * Math.log(R / a);
  const rest = (R * R * (R * R - a * a)) / 4 + (R ** 4 - a ** 4) / 8 - (a * a * (R * R - a * a)) / 4;
  return ((12 * Math.PI) / depth ** 3) * (logarithm - rest);
}

describe('a flat floor of 100 cm² under which resin comes in through one hole', () => {
  const areas = Array<number>(100).fill(1e4);

  it.each([[40], [30], [15], [4], [2]])('of %f mm in its middle squeezes like a closed ring', (diameter) => {
    const squeeze = squeezeOf(disc, areas, [throughFloor(0, 0, diameter)]);
    for (const layers of [1, 3, 5, 10, 20, 40, 100]) {
      const exact = ring(radius * 1e-3, diameter * 0.5e-3, layers * h * 1e-3);
      expect(Math.abs(squeeze[layers - 1]! / exact - 1), `${layers} layers deep`).toBeLessThan(0.15);
    }
  });

  it('squeezes harder the further the hole lies from the middle, and less with four', () => {
    const at = (...holes: readonly [number, number][]) =>
      squeezeOf(
        disc,
        areas,
        holes.map(([x, y]) => throughFloor(x, y, 10)),
      )[9]!;
    expect(at([45, 0])).toBeGreaterThan(1.5 * at([0, 0]));
    expect(at([28, 0], [-28, 0], [0, 28], [0, -28])).toBeLessThan(0.5 * at([0, 0]));
  });

  it('gets nothing from a mouth in its wall before that is printed, and feeds from its chord then', () => {
    const side = bore([radius + 1.5, 0, floor * h + 5], [-1, 0, 0], 8);
    const squeeze = squeezeOf(disc, areas, [side]);
    // Its lower edge lies 1 mm above the floor.
    for (let i = 0; i < 19; i++) expect(squeeze[i]).toBeNaN();
    expect(squeeze[40]).toBeGreaterThan(ring(radius * 1e-3, 4e-3, 41 * h * 1e-3));
  });
});

it('a floor that rises from its hole to the rim squeezes as the cone’s own equation says, far less than a flat one', () => {
  const rise = 8;
  const profile: [number, number][] = [
    [0, 0],
    [radius, rise],
    [radius, 20],
    [0, 20],
  ];
  const bowl = transformed(lathe(profile, 256), { shift: [0, 0, floor * h] });
  const reach = (i: number) => Math.min(radius, (radius * (i + 0.5) * h) / rise);
  const areas = Array.from({ length: 160 }, (_, i) => Math.PI * reach(i) ** 2);
  const squeeze = squeezeOf(bowl, areas, [throughFloor(0, 0, 4)]);
  for (const i of [80, 120, 159]) {
    // p′ = 6µv·(R² − r²)/(r·d³) from the hole on, d in whole layers; summed over the disc by quadrature.
    const [R, steps] = [reach(i) * 1e-3, 20_000];
    const dr = (R - 2e-3) / steps;
    let [pressure, force] = [0, 0];
    for (let n = 0; n < steps; n++) {
      const r = 2e-3 + (n + 0.5) * dr;
      const d = (i + 1 - Math.ceil((rise * r) / (radius * 1e-3) / h - 0.5)) * h * 1e-3;
      pressure += ((6 * (R * R - r * r)) / (r * d ** 3)) * dr;
      force += pressure * 2 * Math.PI * r * dr;
    }
    // The floor runs out to nothing at the rim, where a cell takes one depth for many: told too high, never too low.
    expect(squeeze[i]! / force, `layer ${i}`).toBeGreaterThan(0.95);
    expect(squeeze[i]! / force, `layer ${i}`).toBeLessThan(1.6);
    expect(squeeze[i]).toBeLessThan(0.2 * ring(R, 2e-3, 0.5e-3));
  }
});

/** One layer by itself. */
function solvedAlone(cavity: Mesh, opening: LoadOpening, layer: number, areaMm2: number): number {
  const facets = new Uint32Array(cavity.triangles.length / 3);
  const columns = filmColumns(buildChamberColumns(cavity, facets, uninterrupted), h);
  const { x0, y0, nx, spacing, start } = columns;
  const seedColumn = Math.floor(-x0 / spacing) + nx * Math.floor(-y0 / spacing);
  const seed = start[seedColumn]!;
  const look = { layer, seed, seedColumn, areaMm2, mouths: [mouthPlan(opening)], necks: [] };
  return filmSqueeze(limbFilm(columns, look)!.film)!.force;
}

it('a floor that goes on flatter long after its start is solved for anew', () => {
  // Steep to 20 mm from the middle, then a rise of 1 mm over the next 30.
  const profile: [number, number][] = [
    [0, 0],
    [20, 20],
    [50, 21],
    [50, 40],
    [0, 40],
  ];
  const bowl = transformed(lathe(profile, 256), { shift: [0, 0, floor * h] });
  const reach = (i: number) => {
    const z = (i + 0.5) * h;
    return z < 20 ? z : Math.min(50, 20 + (z - 20) * 30);
  };
  const areas = Array.from({ length: 440 }, (_, i) => Math.PI * reach(i) ** 2);
  const vent = throughFloor(0, 0, 4);
  const squeeze = squeezeOf(bowl, areas, [vent]);
  expect(squeeze[398]).toBeLessThan(20);
  for (const i of [404, 410, 416, 419, 425]) {
    const force = solvedAlone(bowl, vent, floor + i, areas[i]!);
    expect(squeeze[i]! / force, `layer ${i}`).toBeGreaterThan(0.7);
    expect(squeeze[i]! / force, `layer ${i}`).toBeLessThan(1.6);
    expect(squeeze[i]).toBeGreaterThan(100);
  }
});

it('a floor that flattens little by little is followed to its rim', () => {
  // z = 20·(1 − (1 − r/50)³): steep in the middle, level at the rim.
  const profile = Array.from({ length: 51 }, (_, r): [number, number] => [r, 20 * (1 - (1 - r / 50) ** 3)]);
  const bowl = transformed(lathe([...profile, [50, 40], [0, 40]], 256), { shift: [0, 0, floor * h] });
  const reach = (i: number) => 50 * (1 - Math.cbrt(Math.max(0, 1 - ((i + 0.5) * h) / 20)));
  const areas = Array.from({ length: 420 }, (_, i) => Math.PI * reach(i) ** 2);
  const vent = throughFloor(0, 0, 4);
  const squeeze = squeezeOf(bowl, areas, [vent]);
  expect(squeeze[150]).toBeLessThan(100);
  for (const i of [370, 385, 395, 399]) {
    const force = solvedAlone(bowl, vent, floor + i, areas[i]!);
    expect(squeeze[i]! / force, `layer ${i}`).toBeGreaterThan(0.7);
    expect(squeeze[i]! / force, `layer ${i}`).toBeLessThan(1.6);
  }
  expect(squeeze[399]).toBeGreaterThan(1e4);
});

it('a limb too small to be solved for is guessed at from above', () => {
  const small = transformed(cylinder(3.5, 12, 64), { shift: [0, 0, floor * h] });
  const areas = Array<number>(10).fill(Math.PI * 3.5 ** 2);
  const squeeze = squeezeOf(small, areas, [throughFloor(0, 0, 2)]);
  for (const layers of [1, 3, 10]) {
    const guess = guessedSqueeze(areas[0]! * 1e-6, layers * h * 1e-3, 1e-3);
    expect(squeeze[layers - 1]! / guess).toBeCloseTo(1, 6);
    expect(guess).toBeGreaterThan(ring(3.5e-3, 1e-3, layers * h * 1e-3));
  }
});

it('in a second stage of the lift the film is as much deeper as the part has risen', () => {
  const state = track([1e4, 1e4, 1e4, 1e4], 1).states[3]!;
  const stages = [
    { speed: 1e-3, risen: 0 },
    { speed: 3e-3, risen: 2e-3 },
  ];
  const setting = { layerHeight: h, stages } as unknown as LoadSetting;
  const [first, second] = cupDemands(state, setting, { perSpeed: 1000, feed: null });
  expect(first!.local).toEqual({ perSpeed: 1000, greatestDepth: expect.closeTo(0.2e-3, 12) });
  expect(second!.local!.perSpeed / (1000 / 11 ** 3)).toBeCloseTo(1, 9);
  expect(second!.local!.greatestDepth).toBeCloseTo(2.2e-3, 12);
});

/** A trough 50 × 50 mm with a shelf 8 mm wide along one side, 20 mm above its floor, its ceiling at 40 mm. */
function shelved(): Mesh {
  const [xs, ys, zs] = [
    [0, 50, 58],
    [-25, 25],
    [0, 20, 40],
  ] as const;
  const positions: number[] = [];
  for (const z of zs) for (const y of ys) for (const x of xs) positions.push(x, y, floor * h + z);
  const at = (x: number, y: number, z: number): number => x + 3 * (y + 2 * z);
  const triangles: number[] = [];
  const quad = (a: number, b: number, c: number, d: number): void => {
    triangles.push(a, b, c, a, c, d);
  };
  const cells = [
    [0, 0],
    [0, 1],
    [1, 1],
  ] as const;
  const isIn = (x: number, z: number): boolean => cells.some(([i, k]) => i === x && k === z);
  for (const [x, z] of cells) {
    quad(at(x, 0, z), at(x + 1, 0, z), at(x + 1, 0, z + 1), at(x, 0, z + 1));
    quad(at(x, 1, z), at(x, 1, z + 1), at(x + 1, 1, z + 1), at(x + 1, 1, z));
    if (!isIn(x - 1, z)) quad(at(x, 0, z), at(x, 0, z + 1), at(x, 1, z + 1), at(x, 1, z));
    if (!isIn(x + 1, z)) quad(at(x + 1, 0, z), at(x + 1, 1, z), at(x + 1, 1, z + 1), at(x + 1, 0, z + 1));
    if (!isIn(x, z - 1)) quad(at(x, 0, z), at(x, 1, z), at(x + 1, 1, z), at(x + 1, 0, z));
    if (!isIn(x, z + 1)) quad(at(x, 0, z + 1), at(x + 1, 0, z + 1), at(x + 1, 1, z + 1), at(x, 1, z + 1));
  }
  return { positions: Float32Array.from(positions), triangles: Uint32Array.from(triangles) };
}

it('a shelf that begins long after the floor squeezes as a strip fed along its deep side', () => {
  const areas = Array.from({ length: 460 }, (_, i) => (i < 400 ? 2500 : 2900));
  const squeeze = squeezeOf(shelved(), areas, [throughFloor(25, 0, 15)]);
  expect(squeeze[399]).toBeLessThan(20);
  // The trough beside it goes on adding its little.
  const ofShelf = (layers: number) => squeeze[399 + layers]! - squeeze[399]!;
  for (const layers of [1, 2, 3, 5, 8, 12, 20]) {
    // q = v·x from the wall, p = 12µv/d³·(L² − x²)/2, summed over x: 4µv·W·L³/d³.
    const strip = (width: number) => (4 * 0.05 * width ** 3) / (layers * h * 1e-3) ** 3;
    // The shelf shows as cells of 1.5 mm, its edge to within one of them.
    expect(ofShelf(layers), `${layers} layers deep`).toBeGreaterThan(strip(6.5e-3));
    expect(ofShelf(layers), `${layers} layers deep`).toBeLessThan(strip(9.5e-3));
    expect(Math.abs((ofShelf(layers) * layers ** 3) / ofShelf(1) - 1), `${layers} layers deep`).toBeLessThan(
      0.2,
    );
  }
});

it('what was solved for once is the same from what is kept, and only what has changed is solved for again', () => {
  const columns = buildChamberColumns(disc, new Uint32Array(disc.triangles.length / 3), uninterrupted);
  const areas = Array<number>(60).fill(1e4);
  const kept: KeptFilms = new Map();
  const of = (openings: readonly LoadOpening[], films: KeptFilms) =>
    localSqueeze(
      {
        columns,
        tracks: [track(areas, openings.length)],
        openings,
        lobes: null,
        layerHeight: h,
        leastForce: 1,
        mostPressure: Infinity,
        kept: films,
      },
      uninterrupted,
    );
  const vents = [throughFloor(10, 0, 8), throughFloor(-30, 5, 4)];
  const first = of(vents, kept);
  const films = kept.size;
  expect(of(vents, kept)).toEqual(first);
  expect(kept.size).toBe(films);
  const moved = [vents[0]!, throughFloor(-30, 6, 4)];
  expect(of(moved, kept)).toEqual(of(moved, new Map()));
  expect(kept.size).toBe(2 * films);
});

it('what an open rim would take from the atmosphere already is not solved for', () => {
  const columns = buildChamberColumns(disc, new Uint32Array(disc.triangles.length / 3), uninterrupted);
  const squeeze = localSqueeze(
    {
      columns,
      tracks: [track(Array<number>(30).fill(1e4), 1)],
      openings: [throughFloor(0, 0, 20)],
      lobes: null,
      layerHeight: h,
      leastForce: 1,
      mostPressure: 101325 / 0.3e-3,
      kept: new Map(),
    },
    uninterrupted,
  )[0]!.perSpeed;
  // 917 N at 0.25 mm is under the 1013 N of 100 cm², 1791 N at 0.2 mm is over it.
  expect([...squeeze.slice(0, 5)].map(Number.isNaN)).toEqual([true, true, true, true, false]);
});

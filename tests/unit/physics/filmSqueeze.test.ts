import { describe, expect, it } from 'vitest';
import { filmSqueeze } from '../../../src/core/physics/filmSqueeze.ts';
import { lobePull } from '../../../src/core/physics/lobeFlow.ts';
import { mouthFlow } from '../../../src/core/physics/mouthFlow.ts';
import { squeezeForce } from '../../../src/core/physics/squeezeForce.ts';
import type { ThinFilm } from '../../../src/core/physics/thinFilm.ts';

/** A film `d` m deep, n × n cells of `side` m round the origin; `mouth` is the number of the mouth a cell lies in, −1 of none. */
function filmOf(
  n: number,
  side: number,
  d: (x: number, y: number) => number,
  inside: (x: number, y: number) => boolean,
  mouth: (x: number, y: number) => number,
): ThinFilm {
  const at = (k: number) => (k - (n - 1) / 2) * side;
  const idOf = new Map<number, number>();
  let [nodes, mouths] = [0, 0];
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      if (!inside(at(i), at(j))) continue;
      const m = mouth(at(i), at(j));
      idOf.set(i + n * j, m < 0 ? nodes++ : -1 - m);
      mouths = Math.max(mouths, m + 1);
    }
  }
  const start = [0];
  const other: number[] = [];
  const conductance: number[] = [];
  const area: number[] = [];
  const mouthArea = new Float64Array(mouths);
  const between = new Float64Array(mouths * mouths);
  for (const [cell, id] of idOf) {
    const [i, j] = [cell % n, Math.floor(cell / n)];
    if (id < 0) mouthArea[-1 - id]! += side * side;
    for (const [a, b] of [
      [i - 1, j],
      [i + 1, j],
      [i, j - 1],
      [i, j + 1],
    ] as const) {
      const next = a < 0 || b < 0 || a >= n || b >= n ? undefined : idOf.get(a + n * b);
      if (next === undefined || next === id) continue;
      const value = d((at(i) + at(a)) / 2, (at(j) + at(b)) / 2) ** 3;
      if (id < 0 && next < 0) between[(-1 - id) * mouths - 1 - next]! += value;
      if (id < 0) continue;
      other.push(next);
      conductance.push(value);
    }
    if (id < 0) continue;
    start.push(other.length);
    area.push(side * side);
  }
  return {
    start: Uint32Array.from(start),
    other: Int32Array.from(other),
    conductance: Float64Array.from(conductance),
    area: Float64Array.from(area),
    mouthArea,
    between,
  };
}

/** With one mouth, wherever it is. */
const flatFilm = (
  n: number,
  side: number,
  d: (x: number, y: number) => number,
  inside: (x: number, y: number) => boolean,
  fed: (x: number, y: number) => boolean,
): ThinFilm => filmOf(n, side, d, inside, (x, y) => (fed(x, y) ? 0 : -1));

const thinFilmForce = (film: ThinFilm): number => filmSqueeze(film)?.force ?? Number.POSITIVE_INFINITY;

/** Force of a film whose mouths are nodes too, each with a way to the outside that lets `ways` m³/s through for 1 Pa. */
function heldBack(
  { start, other, conductance, area, mouthArea, between }: ThinFilm,
  ways: readonly number[],
): number {
  const count = area.length + mouthArea.length;
  const links: [number, number][][] = Array.from({ length: count }, () => []);
  const placeOf = (to: number) => (to < 0 ? area.length - 1 - to : to);
  area.forEach((_, n) => {
    for (let link = start[n]!; link < start[n + 1]!; link++) {
      links[n]!.push([placeOf(other[link]!), conductance[link]!]);
      if (other[link]! < 0) links[placeOf(other[link]!)]!.push([n, conductance[link]!]);
    }
  });
  const mouths = mouthArea.length;
  for (let a = 0; a < mouths; a++) {
    for (let b = 0; b < mouths; b++) {
      if (between[a * mouths + b]! > 0)
        links[area.length + a]!.push([area.length + b, between[a * mouths + b]!]);
    }
    links[area.length + a]!.push([-1, 12 * ways[a]!]);
  }
  const flat = links.flat();
  let end = 0;
  return thinFilmForce({
    start: Uint32Array.from([0, ...links.map((own) => (end += own.length))]),
    other: Int32Array.from(flat, ([to]) => to),
    conductance: Float64Array.from(flat, ([, value]) => value),
    area: Float64Array.from([...area, ...mouthArea]),
    mouthArea: new Float64Array(1),
    between: new Float64Array(1),
  });
}

describe('the squeeze across a film', () => {
  it.each([
    [0.25e-3, 917],
    [0.5e-3, 115],
    [1e-3, 14.3],
    [2e-3, 1.8],
  ])('fed along the rim of a disc of 100 cm², %f m deep, is about %f N (Stefan 1874)', (depth, newton) => {
    const radius = Math.sqrt(0.01 / Math.PI);
    const side = radius / 60;
    const film = flatFilm(
      125,
      side,
      () => depth,
      (x, y) => Math.hypot(x, y) < radius + side,
      (x, y) => Math.hypot(x, y) >= radius,
    );
    const force = 0.3 * 1e-3 * thinFilmForce(film);
    expect(force / squeezeForce(0.01, 0.3, 1e-3, depth)).toBeCloseTo(1, 1);
    expect(Math.abs(force / newton - 1)).toBeLessThan(0.05);
  });

  it('fed along the edges of a square is that of its torsion constant, 0.140577·s⁴ (Timoshenko & Goodier)', () => {
    const s = 0.04;
    const n = 101;
    const side = s / (n - 1);
    const edge = (x: number) => Math.abs(x) > s / 2 - side / 4;
    const film = flatFilm(
      n,
      side,
      () => 1e-3,
      () => true,
      (x, y) => edge(x) || edge(y),
    );
    expect(thinFilmForce(film) / ((3 * 0.140577 * s ** 4) / 1e-9)).toBeCloseTo(1, 2);
  });

  it('fed through a hole in the middle of a closed disc is that of the ring with a closed rim', () => {
    // −d³/(12µ)·p′·2πr = v·π(R² − r²), p(a) = 0; summed: (12πµv/d³)·[R⁴/2·ln(R/a) − R²(R² − a²)/4 − (R⁴ − a⁴)/8 + a²(R² − a²)/4].
    const [radius, hole, depth] = [0.05, 0.012, 1e-3];
    const side = radius / 120;
    const film = flatFilm(
      245,
      side,
      () => depth,
      (x, y) => Math.hypot(x, y) < radius,
      (x, y) => Math.hypot(x, y) < hole,
    );
    const [R2, a2] = [radius ** 2, hole ** 2];
    const ring =
      ((12 * Math.PI) / depth ** 3) *
      ((R2 ** 2 / 2) * Math.log(radius / hole) -
        (R2 * (R2 - a2)) / 4 -
        (R2 ** 2 - a2 ** 2) / 8 +
        (a2 * (R2 - a2)) / 4);
    expect(Math.abs(thinFilmForce(film) / ring - 1)).toBeLessThan(0.02);
  });

  it('under a floor that rises to one side follows the wedge fed at its deep end', () => {
    // Per width: q = v·x from the closed end, p = 12µv·∫ x/d³ with d = d0 + k·x, summed over x, by quadrature.
    const [length, d0, k] = [0.05, 0.5e-3, 0.04];
    const n = 150;
    const side = length / n;
    const film = flatFilm(
      n,
      side,
      (x) => d0 + k * (x + length / 2),
      () => true,
      (x) => x > length / 2 - side,
    );
    const width = length;
    let [pressure, force] = [0, 0];
    const steps = 20_000;
    const dx = length / steps;
    for (let i = 0; i < steps; i++) {
      const x = length - (i + 0.5) * dx;
      pressure += ((12 * x) / (d0 + k * x) ** 3) * dx;
      force += pressure * dx * width;
    }
    expect(Math.abs(thinFilmForce(film) / force - 1)).toBeLessThan(0.03);
  });

  /** Fed at its deep end x = length, closed at x = 0: q = v·x, so F = 12µv·W·∫ x²/d³ dx. */
  const endFed = (n: number, d: (x: number) => number): number => {
    const [length, width] = [0.05, 0.05];
    const side = length / n;
    const film = filmOf(
      n,
      side,
      (x) => d(x + length / 2),
      () => true,
      (x) => (x > length / 2 - side ? 0 : -1),
    );
    return thinFilmForce(film) / width;
  };

  it('fed at the end of a strip is 4µv·W·L³/d³, the nearer the finer the grid', () => {
    const errors = [15, 30, 60, 120].map((n) =>
      Math.abs(endFed(n, () => 1e-3) / ((4 * 0.05 ** 3) / 1e-9) - 1),
    );
    for (let i = 1; i < errors.length; i++) expect(errors[i]! / errors[i - 1]!).toBeLessThan(0.6);
    expect(errors[3]).toBeLessThan(0.015);
  });

  it('over a floor with a step adds what either depth takes', () => {
    const [step, shallow, deep] = [0.02, 0.4e-3, 1e-3];
    const exact = 4 * (step ** 3 / shallow ** 3 + (0.05 ** 3 - step ** 3) / deep ** 3);
    expect(Math.abs(endFed(150, (x) => (x < step ? shallow : deep)) / exact - 1)).toBeLessThan(0.02);
  });

  it('between two mouths splits by where it comes from, and lets flow pass from one to the other', () => {
    // A strip L long and W wide, mouths at its ends: half of it each, d³·W/(12·L) between them.
    const n = 100;
    const side = 0.05 / n;
    const { catchment, exchange, force } = filmSqueeze(
      filmOf(
        n,
        side,
        () => 1e-3,
        () => true,
        (x) => (Math.abs(x) < 0.025 - side ? -1 : x < 0 ? 0 : 1),
      ),
    )!;
    expect([...catchment].map((served) => served / 0.05 ** 2)).toEqual([
      expect.closeTo(0.5, 9),
      expect.closeTo(0.5, 9),
    ]);
    expect(exchange[1]! / (1e-9 / 12)).toBeCloseTo(1, 1);
    expect(exchange[2]).toBe(exchange[1]);
    expect(Math.abs(force / ((0.05 ** 3 * 0.05) / 1e-9) - 1)).toBeLessThan(0.04);
  });

  it('through mouths that hold back is as the film with those hindrances in it', () => {
    // Three mouths of a floor whose depth varies; in the second film each is a node with one way to a mouth of its own.
    const depth = (x: number, y: number) => 1e-3 * (1.2 + Math.sin(200 * x) * Math.cos(150 * y));
    const spots = [
      [-0.02, -0.02],
      [0.02, 0.01],
      [-0.005, 0.02],
    ] as const;
    const mouth = (x: number, y: number) => spots.findIndex(([a, b]) => Math.hypot(x - a, y - b) < 3e-3);
    const film = filmOf(50, 1e-3, depth, () => true, mouth);
    const { force, catchment, exchange } = filmSqueeze(film)!;
    const ways = [2e-11, 5e-10, 1e-12];
    const area = 0.05 ** 2;
    const feed = {
      mouthOf: new Map([0, 1, 2].map((opening) => [opening, opening])),
      share: catchment.map((served) => served / area),
      exchange: exchange.map((flow) => (flow * force) / area ** 2),
    };
    const vents = ways.map((way, opening) => ({
      id: 'vents/0' as const,
      opening,
      inAir: false,
      resistance: { linear: 1 / way, quadratic: 0 },
    }));
    const flow = mouthFlow(area, { perSpeed: force, feed }, vents, 1)!;
    const speed = 1e-7;
    const pull = speed * force + lobePull(flow, speed);
    expect(pull / (speed * heldBack(film, ways))).toBeCloseTo(1, 6);
  });

  it('is without end where nothing feeds it', () => {
    const film = flatFilm(
      5,
      1e-3,
      () => 1e-3,
      () => true,
      () => false,
    );
    expect(thinFilmForce(film)).toBe(Number.POSITIVE_INFINITY);
  });
});

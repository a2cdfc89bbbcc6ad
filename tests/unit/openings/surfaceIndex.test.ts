import { expect, it } from 'vitest';
import { buildFacetTree } from '../../../src/core/field/facetTree.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { closestOnSurface } from '../../../src/core/openings/closestOnSurface.ts';
import { lineHits } from '../../../src/core/openings/lineHits.ts';
import type { OpeningDecision, OpeningFacts } from '../../../src/core/openings/opening.ts';
import { placeOpening } from '../../../src/core/openings/placeOpening.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { lineHits as lineHitsByTree } from '../../oracles/openings/lineHitsByTree.ts';
import { placeOpeningByTree } from '../../oracles/openings/placeOpeningByTree.ts';
import { icosphere, random, torus, transformed } from '../../shapes.ts';

/** Facets in an order that runs nowhere: the worst case for boxes of neighbours. */
function shuffled({ positions, triangles }: Mesh, next: () => number): Mesh {
  const facets = Array.from({ length: triangles.length / 3 }, (_, facet) => facet);
  for (let n = facets.length - 1; n > 0; n--) {
    const other = Math.floor(next() * (n + 1));
    [facets[n], facets[other]] = [facets[other]!, facets[n]!];
  }
  return {
    positions,
    triangles: Uint32Array.from(facets.flatMap((f) => [0, 1, 2].map((c) => triangles[3 * f + c]!))),
  };
}

/** A sphere with bumps, so that normals, depths and side walls differ from place to place. */
function bumpy(radius: number, subdivisions: number): Mesh {
  const { positions, triangles } = icosphere(radius, subdivisions);
  const moved = positions.map((value, at) => {
    const [x, y, z] = [0, 1, 2].map((axis) => positions[at - (at % 3) + axis]!) as [number, number, number];
    return value * (1 + 0.06 * Math.sin(x / 3) * Math.sin(y / 4 + 1) * Math.sin(z / 5 + 2));
  });
  return { positions: moved, triangles };
}

const scenes: Record<string, { outer: Mesh; cavity: Mesh | null }> = {
  'a hollow with bumps': { outer: bumpy(20, 5), cavity: bumpy(18.2, 5) },
  'a hollow ring': { outer: torus(30, 9, 160, 64), cavity: torus(30, 7.4, 150, 60) },
  'solid bumps': { outer: bumpy(15, 5), cavity: null },
};

const openSettings = { wallMm: 1.6, toPrint: (point: Vec3) => point, directionToPrint: (way: Vec3) => way };

function expectSame(facts: OpeningFacts, oracle: OpeningFacts, about: string): void {
  const flat = (of: OpeningFacts): (number | null)[] => [
    of.surfaceDistanceMm,
    of.chamber,
    of.chamberDepthMm,
    of.farWallDepthMm,
    of.farSideDepthMm,
    of.sideClearanceMm,
    ...(of.placed === null
      ? []
      : [...of.placed.mouth, ...of.placed.axis, of.placed.depth, of.placed.outward]),
  ];
  const expected = flat(oracle);
  flat(facts).forEach((value, n) => {
    if (value === null || expected[n] === null) expect(value, about).toBe(expected[n]);
    else expect(Math.abs(value - expected[n]!), about).toBeLessThan(1e-6);
  });
}

for (const [name, { outer, cavity }] of Object.entries(scenes)) {
  it(`places on ${name} as the sorted trees do, whatever the order of the facets`, () => {
    const seed = 20251 + name.length;
    const next = random(seed);
    const mixed = shuffled(outer, next);
    const facetChamber = cavity && new Uint32Array(cavity.triangles.length / 3);
    const trees = { outer: buildFacetTree(mixed), cavity: cavity && buildFacetTree(cavity) };
    const indexes = { outer: buildSurfaceIndex(mixed), cavity: cavity && buildSurfaceIndex(cavity) };
    let opened = 0;
    for (let n = 0; n < 40; n++) {
      const facet = Math.floor((next() * outer.triangles.length) / 3);
      const weights = [next(), next(), next()];
      const sum = weights[0]! + weights[1]! + weights[2]!;
      const away = n % 8 === 7 ? 1.2 : 1 + 0.02 * next();
      const at = [0, 1, 2].map(
        (axis) =>
          away *
          [0, 1, 2].reduce(
            (total, c) =>
              total + (weights[c]! / sum) * outer.positions[3 * outer.triangles[3 * facet + c]! + axis]!,
            0,
          ),
      ) as unknown as Vec3;
      const decision: OpeningDecision = {
        id: 'vents/0',
        kind: 'vent',
        at,
        diameter: 1 + 7 * next(),
        ...(next() < 0.3 ? { depth: 1 + 4 * next() } : {}),
        ...(next() < 0.3 ? { toward: at.map((c) => -c + 12 * (next() - 0.5)) as unknown as Vec3 } : {}),
      };
      const about = `seed ${seed}, opening ${n}: ${JSON.stringify(decision)}`;
      const facts = placeOpening(decision, { ...openSettings, ...indexes, facetChamber });
      expectSame(facts, placeOpeningByTree(decision, { ...openSettings, ...trees, facetChamber }), about);
      if (facts.chamber !== null) opened++;
    }
    expect(opened > 10).toBe(cavity !== null);
  });
}

it('meets on a line what the tree meets', () => {
  const next = random(77);
  const mesh = shuffled(transformed(torus(30, 9), { turn: [20, 30, 40] }), next);
  const [index, tree] = [buildSurfaceIndex(mesh), buildFacetTree(mesh)];
  let hits = 0;
  for (let n = 0; n < 300; n++) {
    const [from, way] = [0, 1].map(() => [0, 1, 2].map(() => 60 * next() - 30) as unknown as Vec3) as [
      Vec3,
      Vec3,
    ];
    const found = lineHits(index, from, way, 0, Infinity);
    expect(found.map(({ at, entering }) => [at, entering])).toEqual(
      lineHitsByTree(tree, from, way, 0, Infinity).map(({ at, entering }) => [at, entering]),
    );
    hits += found.length;
  }
  expect(hits).toBeGreaterThan(100);
});

it('finds the closest point at any distance, and none where there is no surface or no number', () => {
  const index = buildSurfaceIndex(icosphere(10, 4));
  for (const distance of [0.01, 3, 400]) {
    const { distanceMm } = closestOnSurface(index, [0, 0, 10 + distance]);
    expect(distanceMm).toBeCloseTo(distance, 5);
  }
  expect(closestOnSurface(index, [Number.NaN, 0, 0]).distanceMm).toBe(Infinity);
  const empty = buildSurfaceIndex({ positions: new Float32Array(0), triangles: new Uint32Array(0) });
  expect(closestOnSurface(empty, [0, 0, 0]).facet).toBe(-1);
});

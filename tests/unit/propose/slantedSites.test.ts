import { expect, test } from 'vitest';
import { hollow } from '../../../src/core/field/hollow.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { buildVoidGraph } from '../../../src/core/layers/buildVoidGraph.ts';
import { startOfRegion } from '../../../src/core/layers/regionPlace.ts';
import { regionRuns } from '../../../src/core/layers/regionRuns.ts';
import { lineHits } from '../../../src/core/openings/lineHits.ts';
import type { OpenablePart } from '../../../src/core/openings/openablePart.ts';
import { openingVerdicts } from '../../../src/core/openings/openingVerdicts.ts';
import { placeOpening } from '../../../src/core/openings/placeOpening.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { slantedSites } from '../../../src/core/propose/slantedSites.ts';
import { norm, subtract, type Vec3 } from '../../../src/core/vector.ts';
import { cone, cup, cylinder, join, reversed, transformed } from '../../shapes.ts';
import { solidOf } from '../layers/printing.ts';

const WALL_MM = 1.5;

/** A hollow cone on its tip, flattened to a blade: its hollow begins as a slit of a few tenths of a millimetre. */
function blade() {
  const upright = cone(12, 50);
  const positions = upright.positions.map((value, n) => (n % 3 === 1 ? value / 2 : value));
  const outer = transformed({ ...upright, positions }, { turn: [180, 0, 0], shift: [0, 0, 55] });
  const cavity = hollow(outer, { wallMm: WALL_MM, leastChamberMm3: 50, maxNodes: 5e6 }, uninterrupted);
  if (!cavity.ok) throw new Error(cavity.error.message);
  const part: OpenablePart = {
    outer: buildSurfaceIndex(outer),
    cavity: buildSurfaceIndex(cavity.value.mesh),
    facetChamber: cavity.value.facetChamber,
    wallMm: WALL_MM,
    toPrint: (at) => at,
    directionToPrint: (way) => way,
  };
  const voids = buildVoidGraph(solidOf(join(outer, reversed(cavity.value.mesh))), null, uninterrupted);
  const first = voids.graph.enclosed.indexOf(1);
  return { part, voids, start: startOfRegion(voids.graph, first) };
}

test('from the middle of a narrow limb bores lead out through one wall, and some of them clear of its sides', () => {
  const { part, voids, start } = blade();
  const anywhere = { onShowSide: () => false, coveredBy: () => null };
  const sites = slantedSites(part, anywhere, voids)(start);
  expect(sites.length).toBeGreaterThan(50);
  for (const { mouth, entry, axis, toward } of sites) {
    const wall = norm(subtract(entry, mouth));
    expect(wall).toBeLessThanOrEqual(1.5 * WALL_MM);
    expect(wall).toBeGreaterThan(WALL_MM - 0.1);
    expect(toward).toEqual(axis);
    // Not from above: such a bore would open later than the limb.
    expect(-axis[2]).toBeLessThanOrEqual(Math.sin((20 * Math.PI) / 180));
    // Into the part at the mouth, and into the chamber at the entry.
    expect(lineHits(part.outer, mouth, axis, -0.01, 0.01)[0]?.entering).toBe(true);
    expect(lineHits(part.cavity!, mouth, axis, 0, wall + 0.01)[0]?.entering).toBe(true);
  }
  const isGood = ({ mouth, toward }: (typeof sites)[number]): boolean => {
    const decision = { id: 'vents/0', kind: 'vent', at: mouth, diameter: 2, toward: toward! } as const;
    return openingVerdicts(placeOpening(decision, part), true).length === 0;
  };
  expect(sites.some(isGood)).toBe(true);
});

test('none on the show side, and none where no limb starts', () => {
  const { part, voids, start } = blade();
  const front = { onShowSide: ([, y]: Vec3) => y < 0, coveredBy: () => 'skirt' };
  const sites = slantedSites(part, front, voids)(start);
  expect(sites.length).toBeGreaterThan(0);
  expect(sites.every(({ mouth, coveredBy }) => mouth[1] >= 0 && coveredBy === 'skirt')).toBe(true);
  expect(slantedSites(part, front, voids)([0, 0, 1])).toEqual([]);
});

test('the runs of a region are those of its label, row after row', () => {
  // A ring round a post: the middle of the region lies in the post, none of its runs does.
  const { graph, labels } = buildVoidGraph(
    solidOf(join(cup(10, 8, 20, 2), cylinder(3, 20)), 0.5, 0.5),
    null,
    uninterrupted,
  );
  const layer = 20;
  const ring = graph.enclosed.indexOf(1, graph.regionStart[layer]!);
  const runs = regionRuns(ring, layer, labels);
  const area = runs.reduce((sum, { low, high }) => sum + (high - low) * 0.5, 0);
  expect(area).toBeCloseTo(graph.area[ring]!, 6);
  for (const { y, low, high } of runs) {
    const middle = Math.hypot((low + high) / 2, y);
    expect(middle).toBeGreaterThan(2.9);
    expect(middle).toBeLessThan(8);
  }
  expect(new Set(runs.map(({ y }) => y)).size).toBeGreaterThan(25);
});

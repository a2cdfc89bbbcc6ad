import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { classifyShells } from '../../../src/core/mesh/classifyShells.ts';
import { findDoubledWalls } from '../../../src/core/mesh/findDoubledWalls.ts';
import { labelShells } from '../../../src/core/mesh/labelShells.ts';
import { readMesh } from '../../../src/core/mesh/readMesh.ts';
import { readStl } from '../../../src/core/mesh/readStl.ts';
import { repairMesh } from '../../../src/core/mesh/repairMesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import type { TopologyReport } from '../../../src/core/mesh/topologyReport.ts';
import { weld } from '../../../src/core/mesh/weld.ts';
import { expectLikeSlowTwins } from '../../oracles/expectLikeSlowTwins.ts';
import { weldByText } from '../../oracles/weldByText.ts';
import { loadSharedMesh, loadSharedStl, shuffled } from '../../shapes.ts';

/*
 * Open meshes with known faults. Volumes of the sound ones were measured by two independent native
 * libraries that agree to 1e-5; fault counts come from the script that made the damage.
 */
const sound = {
  watertight: true,
  openEdges: 0,
  nonmanifoldEdges: 0,
  misorientedEdges: 0,
  degenerate: 0,
  duplicates: 0,
};
const figure = 81_443.7;

const cases: [string, Partial<TopologyReport>, number, RegExp | null][] = [
  ['spot', { ...sound, triangles: 23_062, shells: 1 }, 840_723.0, null],
  ['human_cc0', { ...sound, triangles: 26_756, shells: 1 }, figure, null],
  ['syn_holes40', { triangles: 26_716, watertight: false, openEdges: 120 }, figure, /^40 holes filled/],
  [
    'syn_flipped300',
    { triangles: 26_756, watertight: false, misorientedEdges: 884 },
    figure,
    /^300 triangles turned/,
  ],
  [
    'syn_tjunctions200',
    { triangles: 26_956, watertight: false, openEdges: 600 },
    figure,
    /^200 seams closed/,
  ],
  ['syn_jitter2e-5', { ...sound, triangles: 26_756, vertices: 13_380 }, figure, null],
  [
    'syn_duplicates',
    { triangles: 27_256, duplicates: 500, nonmanifoldEdges: 910, shells: 1 },
    figure,
    /^500 repeated/,
  ],
  ['syn_degenerate100', { triangles: 26_856, degenerate: 100 }, figure, /^100 triangles without area/],
  ['syn_nonmanifold_edge', { triangles: 24, shells: 2, nonmanifoldEdges: 1 }, 128_000, /^2 corners doubled/],
  ['syn_cube40', { ...sound, triangles: 12, vertices: 8, shells: 1 }, 64_000, null],
];

describe.each(cases)('%s', (name, counts, volume, phrase) => {
  const bytes = loadSharedStl(name);

  it.skipIf(bytes === null)(
    'has the counts it was made with and the volume it should have when mended',
    () => {
      const soup = readStl(bytes!, { maxTriangles: 1e6 }, uninterrupted);
      if (!soup.ok) throw new Error(soup.error.message);
      const { mesh } = weld(soup.value, uninterrupted);
      expect(reportTopology(mesh, uninterrupted)).toMatchObject(counts);
      const mended = repairMesh(mesh, uninterrupted);
      const after = reportTopology(mended.mesh, uninterrupted);
      expect(mended.sound).toBe(true);
      expect(mended.insideOut).toBe(false);
      expect(after).toMatchObject({ watertight: true, degenerate: 0, duplicates: 0 });
      expect(Math.abs(after.signedVolume / volume - 1)).toBeLessThan(1e-6);
      if (phrase === null) expect(mended.mesh).toBe(mesh);
      else expect(mended.repaired).toEqual([expect.stringMatching(phrase)]);
    },
  );

  it.skipIf(bytes === null)('welds to the vertices of an independent weld', () => {
    const soup = readStl(bytes!, { maxTriangles: 1e6 }, uninterrupted);
    const { mesh, toleranceUsed } = weld(soup.ok ? soup.value : new Float32Array(0), uninterrupted);
    if (toleranceUsed === 0) expect(mesh).toEqual(loadSharedMesh(name));
    else expect(toleranceUsed).toBeLessThan(1e-3);
  });

  it.skipIf(bytes === null)('is reported, mended and parted as the slower ways do, to the bit', () => {
    const read = readMesh(bytes!, { maxTriangles: 1e6 }, uninterrupted);
    if (!read.ok) throw new Error(read.error.message);
    expectLikeSlowTwins(read.value.mesh);
    const soup = readStl(bytes!, { maxTriangles: 1e6 }, uninterrupted);
    if (!soup.ok) throw new Error(soup.error.message);
    expect(read.value).toEqual(weld(soup.value, uninterrupted));
    if (read.value.toleranceUsed === 0) expect(read.value.mesh).toEqual(weldByText(soup.value));
  });

  it.skipIf(bytes === null)('is the same surface with its facets thrown together', () => {
    const soup = readStl(bytes!, { maxTriangles: 1e6 }, uninterrupted);
    if (!soup.ok) throw new Error(soup.error.message);
    const mixed = weld(shuffled(soup.value, 31), uninterrupted).mesh;
    const kept = weld(soup.value, uninterrupted);
    const { signedVolume, area, bounds, centroid: _, ...counts } = reportTopology(kept.mesh, uninterrupted);
    const report = reportTopology(mixed, uninterrupted);
    expect(report, 'seed 31').toMatchObject(counts);
    // Of corners merged within a tolerance the first to come keeps its place.
    const exact = kept.toleranceUsed === 0;
    if (exact) expect(report.bounds).toEqual(bounds);
    expect(report.signedVolume / signedVolume).toBeCloseTo(1, exact ? 9 : 5);
    expect(report.area / area).toBeCloseTo(1, exact ? 12 : 4);
    expectLikeSlowTwins(mixed, 'seed 31');
  });
});

describe('standing figure', () => {
  const mesh = loadSharedMesh('human_cc0');

  it.skipIf(mesh === null)('is one body without a doubled wall', () => {
    const { shells, needsUnion } = classifyShells(mesh!, labelShells(mesh!), uninterrupted);
    expect(shells.map((shell) => shell.kind)).toEqual(['body']);
    expect(needsUnion).toBe(false);
    expect(findDoubledWalls(mesh!, 1.5, uninterrupted)).toEqual([]);
  });
});

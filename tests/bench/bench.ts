import { cpus } from 'node:os';
import { BufferGeometry, Float32BufferAttribute } from 'three';
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js';
import { mergeVertices } from 'three/examples/jsm/utils/BufferGeometryUtils.js';
import { hollow } from '../../src/core/field/hollow.ts';
import { uninterrupted } from '../../src/core/interrupter.ts';
import { buildVoidGraph } from '../../src/core/layers/buildVoidGraph.ts';
import { measureLayers } from '../../src/core/layers/measureLayers.ts';
import { sweepCups } from '../../src/core/layers/sweepCups.ts';
import { massProperties } from '../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { readStl } from '../../src/core/mesh/readStl.ts';
import { reportTopology } from '../../src/core/mesh/topology.ts';
import { weld } from '../../src/core/mesh/weld.ts';
import { writeBinaryStl } from '../../src/core/mesh/writeStl.ts';
import { buildRayGrid } from '../../src/core/rays/buildRayGrid.ts';
import { latticeFor } from '../../src/core/rays/latticeFor.ts';
import { runsVolume } from '../../src/core/rays/runsVolume.ts';
import { solidRuns } from '../../src/core/rays/solidRuns.ts';
import { figureMesh } from '../../src/lamplighter/figureMesh.ts';
import { bench, type Row, table } from './measure.ts';

/**
 * `npm run bench [-- TRIANGLES …]`: stages of the engine on a generated figure, one thread, beside
 * npm reference libraries in the same run. Machines are noisy: compare ratios, not seconds.
 */
const sizes = process.argv
  .slice(2)
  .map(Number)
  .filter((size) => size > 0);
const rounds = 3;

for (const size of sizes.length > 0 ? sizes : [200_000, 1_000_000]) {
  const figure = figureMesh(size);
  const bytes = writeBinaryStl(figure);
  const rows = benchSize(bytes);
  print(
    `\n${figure.triangles.length / 3} triangles, ${cpus()[0]?.model}, Node ${process.version}\n${table(rows)}\n`,
  );
}

function benchSize(bytes: Uint8Array): Row[] {
  const rows: Row[] = [];
  const run = <T>(name: string, work: () => T, reference?: string): T => {
    const { row, value } = bench(
      name,
      rounds,
      work,
      rows.find((other) => other.name === reference),
    );
    rows.push(row);
    return value;
  };
  run('three: STLLoader + mergeVertices', () => threeWeld(bytes));
  const welded = run('read + weld', () => readAndWeld(bytes), 'three: STLLoader + mergeVertices');
  run('topology report', () => reportTopology(welded, uninterrupted));
  const { bounds, volume } = massProperties(welded, uninterrupted);
  const lattice = latticeFor(
    { min: bounds.min, max: [bounds.max[0], bounds.max[1], bounds.max[2]] },
    0.1,
    0.05,
  );
  const solid = run(`ray grid 0.1 × 0.05 mm, ${lattice.layers} layers`, () =>
    solidRuns(buildRayGrid(welded, lattice, uninterrupted)),
  );
  print(`  volume by rays / closed surface − 1 = ${(runsVolume(solid) / volume - 1).toExponential(1)}`);
  run('areas, islands, overhangs, ceilings', () =>
    measureLayers(solid, null, { selfSupportDeg: 19, ceilingMm2: 100, ceilingSpanMm: 5 }, uninterrupted),
  );
  const { graph } = run('voids', () => buildVoidGraph(solid, null, uninterrupted));
  run('cups', () => sweepCups(graph, []));
  run('hollow at 1.5 mm', () =>
    hollow(welded, { wallMm: 1.5, leastChamberMm3: 500, maxNodes: 60e6 }, uninterrupted),
  );
  return rows;
}

function threeWeld(bytes: Uint8Array): BufferGeometry {
  const geometry = new STLLoader().parse(bytes.slice().buffer);
  const positions = new BufferGeometry();
  positions.setAttribute(
    'position',
    new Float32BufferAttribute(geometry.getAttribute('position').array as Float32Array, 3),
  );
  return mergeVertices(positions);
}

function readAndWeld(bytes: Uint8Array): Mesh {
  const soup = readStl(bytes, { maxTriangles: 1e8 }, uninterrupted);
  if (!soup.ok) throw new Error(soup.error.message);
  return weld(soup.value, uninterrupted).mesh;
}

function print(text: string): void {
  process.stdout.write(`${text}\n`);
}

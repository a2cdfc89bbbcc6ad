import { BufferAttribute, BufferGeometry, Sphere, Vector3 } from 'three';
import { type PackedSurface, wordsPerVertex } from '../../src/core/surface/packedSurface.ts';

/** The surface on the graphics card as it came: the shader unpacks it. */
export function packedGeometry({ vertices, triangles }: PackedSurface): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute('packedVertex', new BufferAttribute(vertices, wordsPerVertex));
  geometry.setIndex(new BufferAttribute(triangles, 1));
  // Without positions three cannot find out; nothing of the part is ever left out for being out of sight.
  geometry.boundingSphere = new Sphere(new Vector3(), Number.POSITIVE_INFINITY);
  return geometry;
}

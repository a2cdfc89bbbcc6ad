import { BufferGeometry, Float32BufferAttribute, LineSegments, ShaderMaterial } from 'three';
import { dot, type Vec3 } from '../../src/core/vector.ts';
import type { Colour } from '../shared/colour.ts';
import { mouthRing } from './mouthRing.ts';
import { rimFragment, rimVertex } from './shaders.ts';
import { rawColour } from './surface.ts';
import type { SurfacePoint } from './surfacePicker.ts';

/** A mouth that is not in hand. */
export interface RestingMouth extends SurfacePoint {
  readonly radius: number;
}

/** Rims of mouths in the picture, over everything: reckoned once for each edit, and not for each frame. */
export interface RestingRims {
  readonly lines: LineSegments<BufferGeometry, ShaderMaterial>;
  /** False when they are what they were. */
  set(mouths: readonly RestingMouth[]): boolean;
  setColour(colour: Colour): void;
  dispose(): void;
}

/** Of a rim of no more than so many mm, about a tip's, fewer points do. */
const smallMm = 1;
const fewPoints = 16;
const rimPoints = 48;
/** Where the points of a rim begin does not show. */
const anyWay: Vec3 = [1, 0, 0];

export function createRestingRims(): RestingRims {
  const material = new ShaderMaterial({
    vertexShader: rimVertex,
    fragmentShader: rimFragment,
    uniforms: { colour: { value: rawColour([0, 0, 0]) } },
    depthTest: false,
    depthWrite: false,
    // After what is seen through, too.
    transparent: true,
  });
  const lines = new LineSegments(new BufferGeometry(), material);
  lines.frustumCulled = false;
  lines.renderOrder = 1000;
  lines.visible = false;
  let shown = '[]';
  return {
    lines,
    set(mouths) {
      const wanted = JSON.stringify(mouths);
      if (wanted === shown) return false;
      shown = wanted;
      lines.geometry.dispose();
      lines.geometry = rimsOf(mouths);
      lines.visible = mouths.length > 0;
      return true;
    },
    setColour(colour) {
      material.uniforms['colour']!.value = rawColour(colour);
    },
    dispose() {
      lines.geometry.dispose();
      material.dispose();
    },
  };
}

/** A vertex knows the plane of its mouth, and whether its segment is left out of a rim that faces away. */
function rimsOf(mouths: readonly RestingMouth[]): BufferGeometry {
  const positions: number[] = [];
  const planes: number[] = [];
  const gaps: number[] = [];
  for (const mouth of mouths) {
    const { at, facing, radius } = mouth;
    const ring = mouthRing(mouth, radius, anyWay, radius > smallMm ? rimPoints : fewPoints);
    const plane = [...facing, dot(facing, at)];
    for (const [n, from] of ring.entries()) {
      positions.push(...from, ...ring[(n + 1) % ring.length]!);
      planes.push(...plane, ...plane);
      gaps.push(n % 2, n % 2);
    }
  }
  return new BufferGeometry()
    .setAttribute('position', new Float32BufferAttribute(positions, 3))
    .setAttribute('plane', new Float32BufferAttribute(planes, 4))
    .setAttribute('gap', new Float32BufferAttribute(gaps, 1));
}

import { type BufferGeometry, Color, DoubleSide, Mesh, ShaderMaterial, type Vector4 } from 'three';
import type { Colour } from '../shared/colour.ts';
import { surfaceFragment, surfaceVertex } from './shaders.ts';
import type { SharedUniforms } from './sharedUniforms.ts';

/** One drawn surface of the part. Owns its material, not its geometry. */
export interface Surface {
  readonly mesh: Mesh;
  paint(colour: Colour): void;
  setSeeThrough(seeThrough: boolean): void;
  /** How many outlines of the show side lie on it. */
  setShowCount(count: number): void;
  dispose(): void;
}

export interface SurfaceOptions {
  /** A bore's wall stands where openings take everything else away. */
  readonly keepInsideOpenings: boolean;
  /** Of a packed surface: where its steps begin and how long they are. Null for plain positions. */
  readonly placing: { value: Vector4 } | null;
}

export function createSurface(
  uniforms: SharedUniforms,
  geometry: BufferGeometry,
  { keepInsideOpenings, placing }: SurfaceOptions,
): Surface {
  const own = {
    colour: { value: new Color() },
    seeThrough: { value: false },
    keepInsideOpenings: { value: keepInsideOpenings },
    showCount: { value: 0 },
  };
  const material = new ShaderMaterial({
    vertexShader: surfaceVertex,
    fragmentShader: surfaceFragment,
    side: DoubleSide,
    defines: placing === null ? {} : { PACKED: '' },
  });
  material.uniforms = { ...uniforms, ...own, ...(placing === null ? {} : { placing }) };
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  return {
    mesh,
    paint(colour) {
      own.colour.value.copy(rawColour(colour));
    },
    setSeeThrough(seeThrough) {
      own.seeThrough.value = seeThrough;
      material.transparent = seeThrough;
      material.depthWrite = !seeThrough;
    },
    setShowCount(count) {
      own.showCount.value = count;
    },
    dispose: () => material.dispose(),
  };
}

/** Colours go to the screen as they are: the renderer converts none. */
export function rawColour([r, g, b]: Colour): Color {
  const colour = new Color();
  colour.r = r;
  colour.g = g;
  colour.b = b;
  return colour;
}

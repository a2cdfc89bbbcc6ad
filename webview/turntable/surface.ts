import { type BufferGeometry, Color, DoubleSide, Mesh, ShaderMaterial, SRGBColorSpace } from 'three';
import type { Colour } from '../shared/colour.ts';
import { surfaceFragment, surfaceVertex } from './shaders.ts';
import type { SharedUniforms } from './sharedUniforms.ts';

/** One drawn surface of the part. Owns its geometry and its material. */
export interface Surface {
  readonly mesh: Mesh;
  paint(colour: Colour): void;
  setSeeThrough(seeThrough: boolean): void;
  dispose(): void;
}

export function createSurface(
  uniforms: SharedUniforms,
  geometry: BufferGeometry,
  keepInsideOpenings: boolean,
): Surface {
  const own = {
    colour: { value: new Color() },
    seeThrough: { value: false },
    keepInsideOpenings: { value: keepInsideOpenings },
  };
  const material = new ShaderMaterial({
    vertexShader: surfaceVertex,
    fragmentShader: surfaceFragment,
    side: DoubleSide,
  });
  material.uniforms = { ...uniforms, ...own };
  return {
    mesh: new Mesh(geometry, material),
    paint(colour) {
      own.colour.value.copy(rawColour(colour));
    },
    setSeeThrough(seeThrough) {
      own.seeThrough.value = seeThrough;
      material.transparent = seeThrough;
      material.depthWrite = !seeThrough;
    },
    dispose() {
      geometry.dispose();
      material.dispose();
    },
  };
}

/** For our own shaders, which write colours to the screen as they are. */
export function rawColour([r, g, b]: Colour): Color {
  const colour = new Color();
  colour.r = r;
  colour.g = g;
  colour.b = b;
  return colour;
}

/** For three's materials, which work in linear light. */
export function managedColour([r, g, b]: Colour): Color {
  return new Color().setRGB(r, g, b, SRGBColorSpace);
}

import {
  AlwaysStencilFunc,
  BufferGeometry,
  Color,
  DoubleSide,
  Group,
  KeepStencilOp,
  LessEqualStencilFunc,
  Mesh,
  PlaneGeometry,
  ReplaceStencilOp,
  ShaderMaterial,
  type ShaderMaterialParameters,
  type StencilOp,
  Vector3,
  type Vector4,
} from 'three';
import type { Vec3 } from '../../src/core/vector.ts';
import type { Plane } from './cut.ts';
import { countFragment, sectionFragment, surfaceVertex, uniteFragment } from './shaders.ts';
import type { SharedUniforms } from './sharedUniforms.ts';

/** What the stencil holds where the winding is 0; leaves room to count either way. */
export const stencilBase = 128;

/**
 * The filled section of the cut. For each pixel of the cutting plane the stencil counts how often
 * the line of sight, on the kept side of the plane, crosses the surface: +1 a crossing outward, −1
 * inward, which is the winding number at the plane's point. Four steps, in render order:
 *   1 count the outer surface;
 *   2 where that winding is ≥ 1 set it to exactly 1, so that overlapping shells unite;
 *   3 count the hollow's surface down;
 *   4 draw the plane where 1 is left. Openings are taken out of it by the same test, in the shader,
 *     that takes them out of the surfaces: exact, and free of overlaps.
 */
export interface Section {
  /** The surfaces that are counted, in their own frame. */
  readonly counted: Group;
  /** The section itself, in the print frame. */
  readonly group: Group;
  /** Null where there is none. */
  setGeometry(outer: BufferGeometry | null, cavity: BufferGeometry | null): void;
  place(plane: Plane | null, camera: Vec3, centre: Vec3, radius: number): void;
  paint(colour: Color, hatch: Color): void;
  /** Millimetres one pixel covers near the part: keeps the hatch readable at any zoom. */
  setScale(mmPerPixel: number): void;
  dispose(): void;
}

export interface Placings {
  readonly outer: { value: Vector4 };
  readonly cavity: { value: Vector4 };
}

export function createSection(uniforms: SharedUniforms, placings: Placings): Section {
  const group = new Group();
  const counted = new Group();
  const outerCount = createCounter({ ...uniforms, placing: placings.outer }, 1);
  const cavityCount = createCounter({ ...uniforms, placing: placings.cavity }, 3);
  const square = new PlaneGeometry(2, 2);
  const unite = new Mesh(square, uniteMaterial({ ...uniforms }));
  const look = {
    colour: { value: new Color() },
    hatchColour: { value: new Color() },
    across: { value: new Vector3() },
    pitch: { value: 1 },
  };
  const face = new Mesh(square, faceMaterial({ ...uniforms, ...look }));
  unite.renderOrder = 2;
  face.renderOrder = 4;
  counted.add(outerCount.mesh, cavityCount.mesh);
  group.add(unite, face);
  for (const mesh of [...counted.children, ...group.children]) mesh.frustumCulled = false;

  return {
    counted,
    group,
    setGeometry(outer, cavity) {
      outerCount.setGeometry(outer);
      cavityCount.setGeometry(cavity);
    },
    place(plane, camera, centre, radius) {
      group.visible = plane !== null;
      counted.visible = plane !== null;
      if (plane === null) return;
      const normal = new Vector3(...plane.normal);
      const fromInside = normal.dot(new Vector3(...camera)) <= plane.offset;
      outerCount.countOutward(fromInside ? -1 : 1);
      cavityCount.countOutward(fromInside ? 1 : -1);
      const off = plane.offset - normal.dot(new Vector3(...centre));
      for (const mesh of [unite, face]) {
        mesh.position.set(...centre).addScaledVector(normal, off);
        mesh.scale.setScalar(1.5 * radius);
        mesh.quaternion.setFromUnitVectors(new Vector3(0, 0, 1), normal);
      }
      look.across.value.set(1, 1, 0).normalize().applyQuaternion(face.quaternion);
    },
    paint(colour, hatch) {
      look.colour.value.copy(colour);
      look.hatchColour.value.copy(hatch);
    },
    setScale(mmPerPixel) {
      look.pitch.value = 2 ** Math.round(Math.log2(9 * mmPerPixel));
    },
    dispose() {
      square.dispose();
      unite.material.dispose();
      face.material.dispose();
      outerCount.dispose();
      cavityCount.dispose();
    },
  };
}

/**
 * Stencil operations that three has no word for: facets seen from in front count one way, those seen
 * from behind the other, in one pass. No values of WebGL; `countBothSides` knows them.
 */
export const backCountsUp = 1;
export const backCountsDown = 2;

/** Teaches a context the two operations above. */
export function countBothSides(gl: WebGL2RenderingContext): void {
  const plain = gl.stencilOp.bind(gl);
  gl.stencilOp = (fail, depthFail, pass) => {
    if (pass !== backCountsUp && pass !== backCountsDown) return plain(fail, depthFail, pass);
    const [front, back] = pass === backCountsUp ? [gl.DECR_WRAP, gl.INCR_WRAP] : [gl.INCR_WRAP, gl.DECR_WRAP];
    gl.stencilOpSeparate(gl.FRONT, fail, depthFail, front);
    gl.stencilOpSeparate(gl.BACK, fail, depthFail, back);
  };
}

interface Counter {
  readonly mesh: Mesh;
  setGeometry(geometry: BufferGeometry | null): void;
  /** `sign` +1: a facet seen from behind counts up (the camera is on the side cut away). */
  countOutward(sign: 1 | -1): void;
  dispose(): void;
}

type Uniforms = ShaderMaterial['uniforms'];

function createCounter(uniforms: Uniforms, order: number): Counter {
  const material = stencilMaterial(uniforms, {
    fragmentShader: countFragment,
    defines: { PACKED: '' },
    side: DoubleSide,
    colorWrite: false,
    depthTest: false,
    depthWrite: false,
    stencilFunc: AlwaysStencilFunc,
  });
  const none = new BufferGeometry();
  const mesh = new Mesh(none, material);
  mesh.renderOrder = order;
  return {
    mesh,
    setGeometry(geometry) {
      mesh.geometry = geometry ?? none;
      mesh.visible = geometry !== null;
    },
    countOutward(sign) {
      material.stencilZPass = (sign > 0 ? backCountsUp : backCountsDown) as StencilOp;
    },
    dispose: () => material.dispose(),
  };
}

function uniteMaterial(uniforms: Uniforms): ShaderMaterial {
  return stencilMaterial(uniforms, {
    fragmentShader: uniteFragment,
    side: DoubleSide,
    colorWrite: false,
    depthTest: false,
    depthWrite: false,
    stencilFunc: LessEqualStencilFunc,
    stencilRef: stencilBase + 1,
    stencilZPass: ReplaceStencilOp,
  });
}

function faceMaterial(uniforms: Uniforms): ShaderMaterial {
  return stencilMaterial(uniforms, {
    fragmentShader: sectionFragment,
    side: DoubleSide,
    stencilFunc: LessEqualStencilFunc,
    stencilRef: stencilBase + 1,
    stencilZPass: KeepStencilOp,
  });
}

function stencilMaterial(uniforms: Uniforms, parameters: ShaderMaterialParameters): ShaderMaterial {
  const material = new ShaderMaterial({ vertexShader: surfaceVertex, stencilWrite: true, ...parameters });
  material.uniforms = { ...uniforms };
  return material;
}

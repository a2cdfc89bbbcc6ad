import {
  BufferAttribute,
  BufferGeometry,
  Color,
  DoubleSide,
  Group,
  Mesh,
  ShaderMaterial,
  SRGBColorSpace,
} from 'three';
import type { Mesh as PlainMesh } from '../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../src/core/vector.ts';
import type { PartView } from '../../src/protocol/partView.ts';
import type { Colour } from '../shared/colour.ts';
import type { Theme } from '../shared/theme.ts';
import { boreWall } from './boreWall.ts';
import type { Plane } from './cut.ts';
import { createSection } from './section.ts';
import { surfaceFragment, surfaceVertex } from './shaders.ts';
import { setCutPlane, setOpenings, sharedUniforms } from './sharedUniforms.ts';
import { vertexNormals } from './vertexNormals.ts';

export interface Show {
  readonly outside: boolean;
  readonly seeThrough: boolean;
  readonly hollow: boolean;
  readonly flags: boolean;
}

/** One part on the turntable: its surfaces, its bores and the section of its cut. */
export interface PartModel {
  readonly group: Group;
  readonly centre: Vec3;
  readonly radius: number;
  setCut(plane: Plane | null): void;
  setShow(show: Show): void;
  setTheme(theme: Theme): void;
  /** Before each drawing: the section depends on where the camera is. */
  prepare(camera: Vec3, mmPerPixel: number): void;
  dispose(): void;
}

export function createPartModel(view: PartView): PartModel {
  const uniforms = sharedUniforms();
  setOpenings(uniforms, view.openings);
  const { centre, radius } = boundingBall(view.outer);
  const outerGeometry = surfaceGeometry(view.outer);
  const cavityGeometry = view.cavity === null ? null : surfaceGeometry(view.cavity);

  const outside = surface(outerGeometry, false);
  const hollow = cavityGeometry === null ? null : surface(cavityGeometry, false);
  const bores = view.openings.map((opening) => surface(boreGeometry(view.outer, view.cavity, opening), true));
  const section = createSection(uniforms, outerGeometry, cavityGeometry);
  const surfaces = [outside, ...(hollow === null ? [] : [hollow]), ...bores];
  const group = new Group();
  group.add(...surfaces, section.group);

  let plane: Plane | null = null;

  function surface(
    geometry: BufferGeometry,
    keepInsideOpenings: boolean,
  ): Mesh<BufferGeometry, ShaderMaterial> {
    const material = new ShaderMaterial({
      vertexShader: surfaceVertex,
      fragmentShader: surfaceFragment,
      side: DoubleSide,
    });
    material.uniforms = {
      ...uniforms,
      colour: { value: new Color() },
      seeThrough: { value: false },
      keepInsideOpenings: { value: keepInsideOpenings },
    };
    return new Mesh(geometry, material);
  }

  return {
    group,
    centre,
    radius,
    setCut(next) {
      plane = next;
      setCutPlane(uniforms, plane);
    },
    setShow(show) {
      outside.visible = show.outside;
      outside.material.transparent = show.seeThrough;
      outside.material.depthWrite = !show.seeThrough;
      outside.material.uniforms['seeThrough']!.value = show.seeThrough;
      if (hollow !== null) hollow.visible = show.hollow;
    },
    setTheme(theme) {
      setColour(outside, theme.outside);
      if (hollow !== null) setColour(hollow, theme.hollow);
      for (const bore of bores) setColour(bore, theme.opening);
      section.paint(rawColour(theme.section), rawColour(theme.sectionHatch));
    },
    prepare(camera, mmPerPixel) {
      section.place(plane, camera, centre, radius);
      section.setScale(mmPerPixel);
    },
    dispose() {
      section.dispose();
      for (const { geometry, material } of surfaces) {
        geometry.dispose();
        material.dispose();
      }
      uniforms.openingData.value.dispose();
    },
  };
}

function surfaceGeometry(mesh: PlainMesh): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(mesh.positions, 3));
  geometry.setAttribute('normal', new BufferAttribute(vertexNormals(mesh), 3));
  geometry.setIndex(new BufferAttribute(mesh.triangles, 1));
  return geometry;
}

function boreGeometry(...[outer, cavity, opening]: Parameters<typeof boreWall>): BufferGeometry {
  const wall = boreWall(outer, cavity, opening);
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(wall.positions, 3));
  geometry.setAttribute('normal', new BufferAttribute(wall.normals, 3));
  return geometry;
}

function setColour(mesh: Mesh<BufferGeometry, ShaderMaterial>, colour: Colour): void {
  mesh.material.uniforms['colour']!.value.copy(rawColour(colour));
}

/** For our own shaders, which write colours to the screen as they are. */
function rawColour([r, g, b]: Colour): Color {
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

/** Ball around the bounding box; 1 mm at least, so that framing never divides by zero. */
function boundingBall({ positions }: PlainMesh): { readonly centre: Vec3; readonly radius: number } {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    const value = positions[i]!;
    const axis = i % 3;
    if (value < low[axis]!) low[axis] = value;
    if (value > high[axis]!) high[axis] = value;
  }
  if (positions.length === 0) return { centre: [0, 0, 0], radius: 1 };
  const middle = (axis: number): number => (low[axis]! + high[axis]!) / 2;
  const half = [0, 1, 2].map((axis) => (high[axis]! - low[axis]!) / 2);
  return { centre: [middle(0), middle(1), middle(2)], radius: Math.max(1, Math.hypot(...half)) };
}

import { BufferAttribute, BufferGeometry, Group } from 'three';
import type { Mesh as PlainMesh } from '../../src/core/mesh/mesh.ts';
import type { Vec3 } from '../../src/core/vector.ts';
import type { PartView } from '../../src/protocol/partView.ts';
import type { Theme } from '../shared/theme.ts';
import { boreWall } from './boreWall.ts';
import { extentAlong, type Plane } from './cut.ts';
import { createSection } from './section.ts';
import { setCutPlane, setOpenings, sharedUniforms } from './sharedUniforms.ts';
import { createSurface, rawColour } from './surface.ts';
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

  const outside = createSurface(uniforms, outerGeometry, false);
  const hollow = cavityGeometry === null ? null : createSurface(uniforms, cavityGeometry, false);
  const bores = view.openings.map((opening) =>
    createSurface(uniforms, boreGeometry(view.outer, view.cavity, opening), true),
  );
  const section = createSection(uniforms, outerGeometry, cavityGeometry);
  const surfaces = [outside, ...(hollow === null ? [] : [hollow]), ...bores];
  const group = new Group();
  group.add(...surfaces.map(({ mesh }) => mesh), section.group);

  let plane: Plane | null = null;

  return {
    group,
    centre,
    radius,
    setCut(next) {
      plane = next;
      setCutPlane(uniforms, plane);
    },
    setShow(show) {
      outside.mesh.visible = show.outside;
      outside.setSeeThrough(show.seeThrough);
      if (hollow !== null) hollow.mesh.visible = show.hollow;
    },
    setTheme(theme) {
      outside.paint(theme.outside);
      hollow?.paint(theme.hollow);
      for (const bore of bores) bore.paint(theme.opening);
      section.paint(rawColour(theme.section), rawColour(theme.sectionHatch));
    },
    prepare(camera, mmPerPixel) {
      section.place(plane, camera, centre, radius);
      section.setScale(mmPerPixel);
    },
    dispose() {
      section.dispose();
      for (const surface of surfaces) surface.dispose();
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

/** Smallest ball about the bounding box's centre; 1 mm at least, so that framing never divides by zero. */
function boundingBall(mesh: PlainMesh): { readonly centre: Vec3; readonly radius: number } {
  const middle = (axis: Vec3): number => {
    const [low, high] = extentAlong(mesh, axis);
    return (low + high) / 2;
  };
  const [x, y, z] = [middle([1, 0, 0]), middle([0, 1, 0]), middle([0, 0, 1])];
  const { positions } = mesh;
  let furthest = 1;
  for (let i = 0; i < positions.length; i += 3) {
    const [dx, dy, dz] = [positions[i]! - x, positions[i + 1]! - y, positions[i + 2]! - z];
    furthest = Math.max(furthest, dx * dx + dy * dy + dz * dz);
  }
  return { centre: [x, y, z], radius: Math.sqrt(furthest) };
}

import { BufferAttribute, BufferGeometry, Group, Matrix4, Vector4 } from 'three';
import { type Affine, applyAffine, invertSimilarity, transformMesh } from '../../src/core/affine.ts';
import type { ShowOutline } from '../../src/core/showSide/showOutline.ts';
import type { PackedSurface } from '../../src/core/surface/packedSurface.ts';
import { unpackSurface } from '../../src/core/surface/unpackSurface.ts';
import { normalized, subtract, type Vec3 } from '../../src/core/vector.ts';
import type { OpeningView } from '../../src/protocol/partView.ts';
import type { Theme } from '../shared/theme.ts';
import { barFacets } from './barFacets.ts';
import { boreWall } from './boreWall.ts';
import type { Plane } from './cut.ts';
import { levelAt } from './levelAt.ts';
import { type FacetBlocks, facetBlocks, nearbyFacets } from './nearbyFacets.ts';
import { packedGeometry } from './packedGeometry.ts';
import { createSection } from './section.ts';
import { setCutPlane, setOpenings, sharedUniforms } from './sharedUniforms.ts';
import { showTexture } from './showTexture.ts';
import { createSurface, rawColour, type Surface } from './surface.ts';

export interface Show {
  readonly outside: boolean;
  readonly seeThrough: boolean;
  readonly hollow: boolean;
  readonly supports: boolean;
  readonly flags: boolean;
}

/** What is drawn of a part; only what has changed is made anew. */
export interface PartShape {
  readonly toPrint: Affine;
  /** Levels of detail, coarsest first; none where there is nothing (yet). */
  readonly outer: readonly PackedSurface[];
  readonly cavity: readonly PackedSurface[];
  readonly openings: readonly OpeningView[];
  /** Outlines of the show side, print frame. */
  readonly show: readonly ShowOutline[];
  /** Planned supports (`PartView`). */
  readonly supports: Float32Array;
  /** Tubes of lights. */
  readonly lights: Float32Array;
}

/** One part on the turntable: its surfaces, its bores and the section of its cut. */
export interface PartModel {
  readonly group: Group;
  setShape(shape: PartShape): void;
  /** A ball that holds the part, print frame; null before there is a surface. */
  ball(): { readonly centre: Vec3; readonly radius: number } | null;
  setCut(plane: Plane | null): void;
  setShow(show: Show): void;
  setTheme(theme: Theme): void;
  /** Before each drawing: the section depends on where the camera is. `detail` 0 is the finest level. */
  prepare(camera: Vec3, mmPerPixel: number, detail: number): void;
  /** Triangles of a picture in that detail, each as often as it is drawn. */
  triangles(detail: number): number;
  dispose(): void;
}

export const emptyShape: PartShape = {
  toPrint: { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 0] },
  outer: [],
  cavity: [],
  openings: [],
  show: [],
  supports: new Float32Array(0),
  lights: new Float32Array(0),
};

export function createPartModel(): PartModel {
  const uniforms = sharedUniforms();
  const placings = { outer: { value: new Vector4() }, cavity: { value: new Vector4() } };
  const none = new BufferGeometry();
  const outside = createSurface(uniforms, none, { keepInsideOpenings: false, placing: placings.outer });
  const hollow = createSurface(uniforms, none, { keepInsideOpenings: false, placing: placings.cavity });
  const section = createSection(uniforms, placings);
  const supports = createSurface(uniforms, new BufferGeometry(), { keepInsideOpenings: true, placing: null });
  const lights = createSurface(uniforms, new BufferGeometry(), { keepInsideOpenings: true, placing: null });
  const geometries = new Map<PackedSurface, BufferGeometry>();
  const blocks = new Map<PackedSurface, FacetBlocks>();
  const bores = new Map<string, Surface>();

  // The surfaces stand in a frame of their own; bores and section are made in the print frame.
  const posed = new Group();
  posed.matrixAutoUpdate = false;
  posed.add(outside.mesh, hollow.mesh, section.counted);
  const boreGroup = new Group();
  const group = new Group();
  group.add(posed, boreGroup, supports.mesh, lights.mesh, section.group);

  let shape = emptyShape;
  let ball: { readonly centre: Vec3; readonly radius: number } | null = null;
  let plane: Plane | null = null;
  let show: Show = { outside: true, seeThrough: false, hollow: true, supports: true, flags: true };
  let theme: Theme | null = null;

  function dropOldGeometries(): void {
    for (const [surface, geometry] of geometries) {
      if (shape.outer.includes(surface) || shape.cavity.includes(surface)) continue;
      geometry.dispose();
      geometries.delete(surface);
      blocks.delete(surface);
    }
  }

  function geometryOf(surface: PackedSurface): BufferGeometry {
    const made = geometries.get(surface) ?? packedGeometry(surface);
    geometries.set(surface, made);
    return made;
  }

  function near(surface: PackedSurface | undefined, { mouth, axis, radius }: OpeningView) {
    if (surface === undefined) return null;
    const balls = blocks.get(surface) ?? facetBlocks(surface);
    blocks.set(surface, balls);
    const toSurface = invertSimilarity(shape.toPrint);
    const through = applyAffine(toSurface, mouth);
    const direction = normalized(subtract(applyAffine(toSurface, endOf(mouth, axis)), through));
    return transformMesh(nearbyFacets(surface, balls, through, direction, radius), shape.toPrint);
  }

  function makeBore(opening: OpeningView): Surface {
    const outer = near(shape.outer.at(-1), opening);
    const wall =
      outer === null
        ? { positions: new Float32Array(0), normals: new Float32Array(0) }
        : boreWall(outer, near(shape.cavity.at(-1), opening), opening);
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(wall.positions, 3));
    geometry.setAttribute('normal', new BufferAttribute(wall.normals, 3));
    return createSurface(uniforms, geometry, { keepInsideOpenings: true, placing: null });
  }

  /** Those that stay as they are stay: an edit changes one opening of many. */
  function setBores(surfacesStay: boolean): void {
    const wanted = new Map(shape.openings.map((opening) => [boreKey(opening), opening]));
    for (const [key, bore] of bores) {
      if (surfacesStay && wanted.has(key)) continue;
      boreGroup.remove(bore.mesh);
      bore.mesh.geometry.dispose();
      bore.dispose();
      bores.delete(key);
    }
    for (const [key, opening] of wanted) {
      if (bores.has(key)) continue;
      const bore = makeBore(opening);
      bores.set(key, bore);
      boreGroup.add(bore.mesh);
      if (theme !== null) bore.paint(theme.opening);
    }
  }

  function setBars({ mesh }: Surface, bars: Float32Array): void {
    const { positions, normals } = barFacets(bars);
    mesh.geometry.dispose();
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(positions, 3));
    geometry.setAttribute('normal', new BufferAttribute(normals, 3));
    mesh.geometry = geometry;
  }

  /** Behind a whole outside, little of the hollow is seen: through its openings only. */
  function cavityDetail(detail: number): number {
    return plane === null && show.outside && !show.seeThrough ? detail + 1 : detail;
  }

  function select(
    surface: PackedSurface | undefined,
    { mesh }: Surface,
    placing: { value: Vector4 },
  ): BufferGeometry | null {
    if (surface === undefined) {
      mesh.visible = false;
      mesh.geometry = none;
      return null;
    }
    const geometry = geometryOf(surface);
    mesh.geometry = geometry;
    placing.value.set(...surface.origin, surface.step);
    return geometry;
  }

  return {
    group,
    ball: () => ball,
    setShape(next) {
      const before = shape;
      shape = next;
      const samePose = before.toPrint === next.toPrint || sameAffine(before.toPrint, next.toPrint);
      const sameSurfaces = sameItems(before.outer, next.outer) && sameItems(before.cavity, next.cavity);
      if (!sameSurfaces) dropOldGeometries();
      if (!sameSurfaces || !samePose) {
        posed.matrix.copy(matrixOf(next.toPrint));
        ball = next.outer.length === 0 ? null : ballOf(next.outer[0]!, next.toPrint);
      }
      setOpenings(uniforms, next.openings);
      if (JSON.stringify(before.show) !== JSON.stringify(next.show)) {
        uniforms.showData.value.dispose();
        const { texture, count } = showTexture(next.show);
        uniforms.showData.value = texture;
        outside.setShowCount(count);
      }
      setBores(sameSurfaces && samePose);
      if (before.supports !== next.supports) setBars(supports, next.supports);
      if (before.lights !== next.lights) setBars(lights, next.lights);
    },
    setCut(next) {
      plane = next;
      setCutPlane(uniforms, plane);
    },
    setShow(next) {
      show = next;
      outside.setSeeThrough(show.seeThrough);
    },
    setTheme(next) {
      theme = next;
      outside.paint(theme.outside);
      hollow.paint(theme.hollow);
      supports.paint(theme.supports);
      lights.paint(theme.opening);
      for (const bore of bores.values()) bore.paint(theme.opening);
      uniforms.showColour.value.copy(rawColour(theme.show));
      section.paint(rawColour(theme.section), rawColour(theme.sectionHatch));
    },
    prepare(camera, mmPerPixel, detail) {
      outside.mesh.visible = show.outside;
      hollow.mesh.visible = show.hollow;
      supports.mesh.visible = show.supports && shape.supports.length > 0;
      lights.mesh.visible = shape.lights.length > 0;
      const outer = select(levelAt(shape.outer, detail), outside, placings.outer);
      const cavity = select(levelAt(shape.cavity, cavityDetail(detail)), hollow, placings.cavity);
      section.setGeometry(outer, cavity);
      section.place(ball === null ? null : plane, camera, ball?.centre ?? [0, 0, 0], ball?.radius ?? 1);
      section.setScale(mmPerPixel);
      uniforms.mmPerPixel.value = mmPerPixel;
    },
    triangles(detail) {
      const counted = plane === null ? 0 : 1;
      const outer = levelAt(shape.outer, detail)?.triangleCount ?? 0;
      const cavity = levelAt(shape.cavity, cavityDetail(detail))?.triangleCount ?? 0;
      return outer * (Number(show.outside) + counted) + cavity * (Number(show.hollow) + counted);
    },
    dispose() {
      shape = emptyShape;
      dropOldGeometries();
      setBores(false);
      section.dispose();
      outside.dispose();
      hollow.dispose();
      supports.mesh.geometry.dispose();
      supports.dispose();
      lights.mesh.geometry.dispose();
      lights.dispose();
      uniforms.openingData.value.dispose();
      uniforms.showData.value.dispose();
    },
  };
}

const endOf = (mouth: Vec3, axis: Vec3): Vec3 => [mouth[0] + axis[0], mouth[1] + axis[1], mouth[2] + axis[2]];

function boreKey({ mouth, axis, radius, depth, outward }: OpeningView): string {
  return [...mouth, ...axis, radius, depth, outward].join();
}

function sameItems<T>(a: readonly T[], b: readonly T[]): boolean {
  return a.length === b.length && a.every((item, i) => item === b[i]);
}

function sameAffine(a: Affine, b: Affine): boolean {
  return sameItems([...a.linear, ...a.shift], [...b.linear, ...b.shift]);
}

function matrixOf({ linear: m, shift: [x, y, z] }: Affine): Matrix4 {
  const [a, b, c, d, e, f, g, h, i] = m as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  return new Matrix4().set(a, b, c, x, d, e, f, y, g, h, i, z, 0, 0, 0, 1);
}

/** Round the bounding box's centre; 1 mm at least, so that framing never divides by zero. */
function ballOf(
  coarsest: PackedSurface,
  toPrint: Affine,
): { readonly centre: Vec3; readonly radius: number } {
  const { positions } = transformMesh(unpackSurface(coarsest), toPrint);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    low[i % 3] = Math.min(low[i % 3]!, positions[i]!);
    high[i % 3] = Math.max(high[i % 3]!, positions[i]!);
  }
  const centre = low.map((value, axis) => (value + high[axis]!) / 2) as unknown as Vec3;
  let furthest = 1;
  for (let i = 0; i < positions.length; i += 3) {
    const [x, y, z] = [
      positions[i]! - centre[0],
      positions[i + 1]! - centre[1],
      positions[i + 2]! - centre[2],
    ];
    furthest = Math.max(furthest, x * x + y * y + z * z);
  }
  return { centre, radius: Math.sqrt(furthest) + coarsest.errorMm };
}

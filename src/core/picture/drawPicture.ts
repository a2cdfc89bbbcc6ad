import type { Affine } from '../affine.ts';
import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { vertexNormals } from '../surface/vertexNormals.ts';
import { dot, normalized, type Vec3 } from '../vector.ts';
import { pictureBounds, spanOf } from './pictureBounds.ts';
import { type AlongAxis, alongAxes, coordinate, pictureAxes } from './pictureView.ts';

export type Tone = readonly [red: number, green: number, blue: number];

/** A closed, outward mesh, mm, and how it is drawn. */
export interface PictureShape {
  readonly mesh: Mesh;
  /** Its colour in full light, 0 to 255. */
  readonly tone: Tone;
  /** Brings it to where it stands, a rotation and a shift; absent where it stands there already. */
  readonly frame?: Affine;
}

/** A square picture: RGBA bytes, row by row from the top; what shows nothing is clear. */
export interface Picture {
  readonly pixels: number;
  readonly data: Uint8Array;
}

/** Samples along each side of a pixel. */
const SAMPLES = 3;
/** Part of the side that stays free all round. */
const MARGIN = 0.04;
/** A corner whose facet turns away from its neighbours' mean by more than this (cosine, 30°) is drawn as an edge. */
const SMOOTH = Math.cos((30 * Math.PI) / 180);
const light = normalized([-0.45, -0.62, 0.64]);
const SHADE = { ambient: 0.32, sky: 0.2, light: 0.5 };
const facetsPerTick = 1 << 16;

/**
 * Draws shapes as they stand on the plate, from in front and above, without perspective: nearest sample wins, shades are run
 * across facets. `spanMm` is what the picture's side shows, for pictures that are to be compared; null = as large as
 * there is room. Deterministic: the same shapes give the same bytes.
 */
export function drawPicture(
  shapes: readonly PictureShape[],
  pixels: number,
  spanMm: number | null,
  interrupter: Interrupter,
): Picture {
  const side = pixels * SAMPLES;
  const canvas: Canvas = {
    side,
    depth: new Float32Array(side * side).fill(Number.NEGATIVE_INFINITY),
    shade: new Float32Array(side * side),
    shape: new Uint16Array(side * side),
  };
  const bounds = pictureBounds(shapes);
  const span = spanMm ?? spanOf(bounds);
  if (span > 0) {
    const scale = (side * (1 - 2 * MARGIN)) / span;
    const left = side / 2 - (scale * (bounds.low[0] + bounds.high[0])) / 2;
    const top = side / 2 + (scale * (bounds.low[1] + bounds.high[1])) / 2;
    const facets = shapes.reduce((sum, { mesh }) => sum + mesh.triangles.length / 3, 0);
    let before = 0;
    for (const [n, shape] of shapes.entries()) {
      drawShape(canvas, shape, n, { scale, left, top }, (done) => interrupter((before + done) / facets));
      before += shape.mesh.triangles.length / 3;
    }
  }
  return { pixels, data: resolved(canvas, shapes, pixels) };
}

interface Canvas {
  readonly side: number;
  /** Toward the eye, by sample; and how light what is there is, and of which shape. */
  readonly depth: Float32Array;
  readonly shade: Float32Array;
  readonly shape: Uint16Array;
}

/** From mm in the picture's plane to samples. */
interface Placing {
  readonly scale: number;
  readonly left: number;
  readonly top: number;
}

function drawShape(
  canvas: Canvas,
  { mesh, frame }: PictureShape,
  shape: number,
  { scale, left, top }: Placing,
  tick: (facets: number) => void,
): void {
  const { positions, triangles } = mesh;
  const axes = alongAxes(frame);
  const places = new Float32Array(positions.length);
  for (let at = 0; at < positions.length; at += 3) {
    const [x, y, z] = [positions[at]!, positions[at + 1]!, positions[at + 2]!];
    places[at] = left + scale * coordinate(axes[0], x, y, z);
    places[at + 1] = top - scale * coordinate(axes[1], x, y, z);
    places[at + 2] = scale * coordinate(axes[2], x, y, z);
  }
  const shadeOf = shadesOf(mesh, axes);
  const corner = new Float64Array(12);
  for (let at = 0; at < triangles.length; at += 3) {
    if (at % (3 * facetsPerTick) === 0) tick(at / 3);
    for (let n = 0; n < 3; n++) {
      const v = 3 * triangles[at + n]!;
      corner[4 * n] = places[v]!;
      corner[4 * n + 1] = places[v + 1]!;
      corner[4 * n + 2] = places[v + 2]!;
    }
    // Rows run downward, so what faces the eye runs clockwise here.
    const doubled = areaOf(corner);
    if (doubled >= 0) continue;
    shadeOf(at, corner);
    fill(canvas, corner, doubled, shape);
  }
}

const areaOf = (c: Float64Array): number =>
  (c[4]! - c[0]!) * (c[9]! - c[1]!) - (c[8]! - c[0]!) * (c[5]! - c[1]!);

/** Puts how light the corners of a facet are beside their places. */
function shadesOf(mesh: Mesh, axes: readonly [AlongAxis, AlongAxis, AlongAxis]) {
  const { positions: p, triangles: t } = mesh;
  const normals = vertexNormals(mesh);
  const inPicture = (way: Vec3): Vec3 => [
    dot(way, pictureAxes[0]),
    dot(way, pictureAxes[1]),
    dot(way, pictureAxes[2]),
  ];
  // The lights' ways in the axes of the mesh, by way of the picture's.
  const inMesh = (way: Vec3): Vec3 => {
    const [u, v, w] = inPicture(way);
    const of = (n: 0 | 1 | 2): number => u * axes[0].row[n] + v * axes[1].row[n] + w * axes[2].row[n];
    return [of(0), of(1), of(2)];
  };
  const [lightX, lightY, lightZ] = inMesh(light);
  const [upX, upY, upZ] = inMesh([0, 0, 1]);
  const shade = (x: number, y: number, z: number): number =>
    SHADE.ambient +
    SHADE.sky * (0.5 + 0.5 * (x * upX + y * upY + z * upZ)) +
    SHADE.light * Math.max(0, x * lightX + y * lightY + z * lightZ);
  return (at: number, corner: Float64Array): void => {
    const [a, b, c] = [3 * t[at]!, 3 * t[at + 1]!, 3 * t[at + 2]!];
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const length = Math.sqrt(x * x + y * y + z * z) || 1;
    const own = shade(x / length, y / length, z / length);
    for (let n = 0; n < 3; n++) {
      const v = 3 * t[at + n]!;
      const [nx, ny, nz] = [normals[v]!, normals[v + 1]!, normals[v + 2]!];
      const isSmooth = (nx * x + ny * y + nz * z) / length > SMOOTH;
      corner[4 * n + 3] = isSmooth ? shade(nx, ny, nz) : own;
    }
  };
}

/** Every sample whose middle lies in the facet, if nothing drawn before is nearer. `doubled`: its area twice, below 0. */
function fill({ side, depth, shade, shape }: Canvas, c: Float64Array, doubled: number, which: number): void {
  const [ax, ay, bx, by, cx, cy] = [c[0]!, c[1]!, c[4]!, c[5]!, c[8]!, c[9]!];
  const fromX = Math.max(0, Math.ceil(Math.min(ax, bx, cx) - 0.5));
  const toX = Math.min(side - 1, Math.floor(Math.max(ax, bx, cx) - 0.5));
  const fromY = Math.max(0, Math.ceil(Math.min(ay, by, cy) - 0.5));
  const toY = Math.min(side - 1, Math.floor(Math.max(ay, by, cy) - 0.5));
  for (let row = fromY; row <= toY; row++) {
    const y = row + 0.5;
    for (let column = fromX; column <= toX; column++) {
      const x = column + 0.5;
      const ofB = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / doubled;
      const ofC = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / doubled;
      const ofA = 1 - ofB - ofC;
      if (ofA < 0 || ofB < 0 || ofC < 0) continue;
      const near = ofA * c[2]! + ofB * c[6]! + ofC * c[10]!;
      const at = row * side + column;
      if (near <= depth[at]!) continue;
      depth[at] = near;
      shade[at] = ofA * c[3]! + ofB * c[7]! + ofC * c[11]!;
      shape[at] = which;
    }
  }
}

/** Samples to pixels: colours of those that show something, and how many do. */
function resolved(
  { side, depth, shade, shape }: Canvas,
  shapes: readonly PictureShape[],
  pixels: number,
): Uint8Array {
  const data = new Uint8Array(4 * pixels * pixels);
  for (let pixel = 0; pixel < pixels * pixels; pixel++) {
    const first = SAMPLES * (Math.floor(pixel / pixels) * side + (pixel % pixels));
    let [red, green, blue, count] = [0, 0, 0, 0];
    for (let n = 0; n < SAMPLES * SAMPLES; n++) {
      const at = first + Math.floor(n / SAMPLES) * side + (n % SAMPLES);
      if (depth[at] === Number.NEGATIVE_INFINITY) continue;
      const { tone } = shapes[shape[at]!]!;
      red += tone[0] * shade[at]!;
      green += tone[1] * shade[at]!;
      blue += tone[2] * shade[at]!;
      count++;
    }
    if (count === 0) continue;
    data[4 * pixel] = Math.min(255, Math.round(red / count));
    data[4 * pixel + 1] = Math.min(255, Math.round(green / count));
    data[4 * pixel + 2] = Math.min(255, Math.round(blue / count));
    data[4 * pixel + 3] = Math.round((255 * count) / SAMPLES ** 2);
  }
  return data;
}

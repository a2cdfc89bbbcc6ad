import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { cross, squareTo, type Vec3 } from '../../src/core/vector.ts';
import type { OpeningView } from '../../src/protocol/partView.ts';

/** Lines along the bore's wall from which it is drawn. */
const rulings = 96;

/** Loose facets: positions and normals x,y,z per corner, print frame. */
export interface BoreWall {
  readonly positions: Float32Array;
  readonly normals: Float32Array;
}

/**
 * The wall an opening cuts: of the cylinder between `outward` before the mouth and `depth` behind
 * it, the stretches that run through solid (outer winding ≥ 1, cavity winding ≤ 0), and the floor
 * of a bore that ends in solid. Found on rulings by where they cross the two surfaces, so the wall
 * ends on the surfaces themselves, whatever their shape, and no boolean is needed.
 */
export function boreWall(outer: Mesh, cavity: Mesh | null, opening: OpeningView): BoreWall {
  const frame = boreFrame(opening);
  const crossings = new Crossings(rulings + 1);
  collectCrossings(outer, frame, crossings, 1);
  if (cavity !== null) collectCrossings(cavity, frame, crossings, cavityStep);
  const stretches = Array.from({ length: rulings + 1 }, (_, ruling) =>
    solidStretches(crossings.of(ruling), -opening.outward, opening.depth),
  );
  const out: Corner[] = [];
  for (let i = 0; i < rulings; i++) {
    addStrip(out, frame, i, stretches[i]!, stretches[(i + 1) % rulings]!);
  }
  if (endsAt(stretches[axisRuling]!, opening.depth)) addFloor(out, frame, opening.depth);
  return pack(out);
}

/** A cavity crossing counts in steps of this, so one number holds both windings. */
const cavityStep = 65536;
const axisRuling = rulings;

interface BoreFrame {
  readonly mouth: Vec3;
  readonly axis: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  readonly radius: number;
  /** Where each ruling stands in the plane across the axis; the last one is the axis itself. */
  readonly a: Float64Array;
  readonly b: Float64Array;
}

function boreFrame({ mouth, axis, radius }: OpeningView): BoreFrame {
  const u = squareTo(axis);
  const v = cross(axis, u);
  const a = new Float64Array(rulings + 1);
  const b = new Float64Array(rulings + 1);
  for (let i = 0; i < rulings; i++) {
    // Half a step off the axes: no ruling along the symmetric edges that modelled shapes like to have.
    const angle = (2 * Math.PI * (i + 0.5)) / rulings;
    a[i] = radius * Math.cos(angle);
    b[i] = radius * Math.sin(angle);
  }
  // The axis line stands a little aside: openings are often placed on a vertex, where it would hit edges.
  a[rulings] = 0.0137 * radius;
  b[rulings] = 0.0071 * radius;
  return { mouth, axis, u, v, radius, a, b };
}

interface Crossing {
  readonly depth: number;
  readonly step: number;
}

class Crossings {
  private readonly lists: Crossing[][];
  constructor(count: number) {
    this.lists = Array.from({ length: count }, () => []);
  }
  add(ruling: number, depth: number, step: number): void {
    this.lists[ruling]!.push({ depth, step });
  }
  of(ruling: number): readonly Crossing[] {
    return this.lists[ruling]!.sort((p, q) => p.depth - q.depth);
  }
}

function collectCrossings(mesh: Mesh, frame: BoreFrame, found: Crossings, step: number): void {
  const { positions, triangles } = mesh;
  const { mouth, axis, u, v, radius } = frame;
  const count = positions.length / 3;
  const pa = new Float64Array(count);
  const pb = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const x = positions[3 * i]! - mouth[0];
    const y = positions[3 * i + 1]! - mouth[1];
    const z = positions[3 * i + 2]! - mouth[2];
    pa[i] = x * u[0] + y * u[1] + z * u[2];
    pb[i] = x * v[0] + y * v[1] + z * v[2];
  }
  const depthOf = (i: number): number =>
    (positions[3 * i]! - mouth[0]) * axis[0] +
    (positions[3 * i + 1]! - mouth[1]) * axis[1] +
    (positions[3 * i + 2]! - mouth[2]) * axis[2];
  const nearWall = (0.999 * radius) ** 2;
  for (let t = 0; t < triangles.length; t += 3) {
    const i = triangles[t]!;
    const j = triangles[t + 1]!;
    const k = triangles[t + 2]!;
    const lowA = Math.min(pa[i]!, pa[j]!, pa[k]!);
    const highA = Math.max(pa[i]!, pa[j]!, pa[k]!);
    if (lowA > radius || highA < -radius) continue;
    const lowB = Math.min(pb[i]!, pb[j]!, pb[k]!);
    const highB = Math.max(pb[i]!, pb[j]!, pb[k]!);
    if (lowB > radius || highB < -radius) continue;
    // A facet that the wall does not run through can only meet the axis, the last of the rulings.
    const reach = Math.max(pa[i]! ** 2 + pb[i]! ** 2, pa[j]! ** 2 + pb[j]! ** 2, pa[k]! ** 2 + pb[k]! ** 2);
    for (let ruling = reach < nearWall ? axisRuling : 0; ruling <= axisRuling; ruling++) {
      const a = frame.a[ruling]!;
      if (a < lowA || a > highA) continue;
      const b = frame.b[ruling]!;
      if (b < lowB || b > highB) continue;
      const wi = edgeSide(pa, pb, j, k, a, b);
      const wj = edgeSide(pa, pb, k, i, a, b);
      const wk = edgeSide(pa, pb, i, j, a, b);
      const leaves = wi > 0 && wj > 0 && wk > 0;
      if (!leaves && !(wi < 0 && wj < 0 && wk < 0)) continue;
      const depth = (wi * depthOf(i) + wj * depthOf(j) + wk * depthOf(k)) / (wi + wj + wk);
      found.add(ruling, depth, leaves ? -step : step);
    }
  }
}

/**
 * Which side of the edge from→to the point lies on. Always computed from the lower vertex index, so
 * that two facets sharing the edge get the same number with opposite sign. Zero has no sign to tell
 * them apart, so it becomes the smallest number that has one.
 */
function edgeSide(
  pa: Float64Array,
  pb: Float64Array,
  from: number,
  to: number,
  a: number,
  b: number,
): number {
  const low = Math.min(from, to);
  const high = Math.max(from, to);
  const side =
    (pa[high]! - pa[low]!) * (b - pb[low]!) - (pb[high]! - pb[low]!) * (a - pa[low]!) || Number.MIN_VALUE;
  return from < to ? side : -side;
}

type Stretch = readonly [from: number, to: number];

function solidStretches(crossings: readonly Crossing[], from: number, to: number): Stretch[] {
  const stretches: Stretch[] = [];
  let outer = 0;
  let cavity = 0;
  let start: number | null = null;
  const close = (depth: number): void => {
    if (start !== null && Math.min(depth, to) > Math.max(start, from)) {
      stretches.push([Math.max(start, from), Math.min(depth, to)]);
    }
    start = null;
  };
  for (const { depth, step } of crossings) {
    if (Math.abs(step) === cavityStep) cavity += Math.sign(step);
    else outer += step;
    const solid = outer >= 1 && cavity <= 0;
    if (solid && start === null) start = depth;
    else if (!solid && start !== null) close(depth);
  }
  return stretches;
}

function endsAt(stretches: readonly Stretch[], depth: number): boolean {
  return stretches.some(([, to]) => to === depth);
}

interface Corner {
  readonly at: Vec3;
  readonly normal: Vec3;
}

/** Quads between two rulings; where their stretches do not pair up, each fills its own half. */
function addStrip(
  out: Corner[],
  frame: BoreFrame,
  ruling: number,
  here: readonly Stretch[],
  next: readonly Stretch[],
): void {
  if (here.length === next.length) {
    here.forEach((stretch, i) => {
      addQuad(out, frame, ruling, ruling + 1, stretch, next[i]!);
    });
    return;
  }
  for (const stretch of here) addQuad(out, frame, ruling, ruling + 0.5, stretch, stretch);
  for (const stretch of next) addQuad(out, frame, ruling + 0.5, ruling + 1, stretch, stretch);
}

function addQuad(
  out: Corner[],
  frame: BoreFrame,
  i: number,
  j: number,
  first: Stretch,
  second: Stretch,
): void {
  const a = wallCorner(frame, i, first[0]);
  const b = wallCorner(frame, j, second[0]);
  const c = wallCorner(frame, j, second[1]);
  const d = wallCorner(frame, i, first[1]);
  out.push(a, b, c, a, c, d);
}

/** A point of the wall; its normal looks at the axis. */
function wallCorner(frame: BoreFrame, ruling: number, depth: number): Corner {
  const angle = (2 * Math.PI * (ruling + 0.5)) / rulings;
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const { mouth, axis, u, v, radius } = frame;
  const at = (i: 0 | 1 | 2): number => mouth[i] + axis[i] * depth + radius * (u[i] * cos + v[i] * sin);
  const normal = (i: 0 | 1 | 2): number => -(u[i] * cos + v[i] * sin);
  return { at: [at(0), at(1), at(2)], normal: [normal(0), normal(1), normal(2)] };
}

function addFloor(out: Corner[], frame: BoreFrame, depth: number): void {
  const { mouth, axis } = frame;
  const normal: Vec3 = [-axis[0], -axis[1], -axis[2]];
  const centre: Vec3 = [mouth[0] + axis[0] * depth, mouth[1] + axis[1] * depth, mouth[2] + axis[2] * depth];
  for (let i = 0; i < rulings; i++) {
    const a = wallCorner(frame, i, depth).at;
    const b = wallCorner(frame, i + 1, depth).at;
    out.push({ at: centre, normal }, { at: b, normal }, { at: a, normal });
  }
}

function pack(corners: readonly Corner[]): BoreWall {
  const positions = new Float32Array(3 * corners.length);
  const normals = new Float32Array(3 * corners.length);
  corners.forEach(({ at, normal }, i) => {
    positions.set(at, 3 * i);
    normals.set(normal, 3 * i);
  });
  return { positions, normals };
}

import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import type { Mesh } from '../src/core/mesh/mesh.ts';
import type { Vec3 } from '../src/core/vector.ts';

/*
 * Closed-form meshes for tests: millimetres, closed, 2-manifold, counter-clockwise seen from outside
 * unless said otherwise. Round shapes are inscribed polyhedra; the exact figures of the polyhedra are
 * given where they are simple.
 */

/** Box centred on the origin; a number gives a cube. Volume x·y·z. */
export function box(size: number | Vec3): Mesh {
  const [x, y, z] = typeof size === 'number' ? [size, size, size] : size;
  const positions: number[] = [];
  for (let i = 0; i < 8; i++) {
    positions.push((i & 1 ? x : -x) / 2, (i & 2 ? y : -y) / 2, (i & 4 ? z : -z) / 2);
  }
  // biome-ignore format: one face a line
  const triangles = [
    0, 4, 6, 0, 6, 2,
    1, 3, 7, 1, 7, 5,
    0, 1, 5, 0, 5, 4,
    2, 6, 7, 2, 7, 3,
    0, 2, 3, 0, 3, 1,
    4, 5, 7, 4, 7, 6,
  ];
  return meshOf(positions, triangles);
}

/** UV sphere about the origin, poles on z: `segments` meridians, `segments / 2` bands (rounded up). */
export function sphere(radius: number, segments = 64): Mesh {
  const bands = Math.ceil(segments / 2);
  const profile: [number, number][] = [];
  for (let i = 0; i <= bands; i++) {
    const angle = (Math.PI * i) / bands;
    profile.push([i === 0 || i === bands ? 0 : radius * Math.sin(angle), -radius * Math.cos(angle)]);
  }
  return lathe(profile, segments);
}

/** Subdivided icosahedron about the origin, 20·4^subdivisions triangles of nearly equal size. */
export function icosphere(radius: number, subdivisions = 4): Mesh {
  const g = (1 + Math.sqrt(5)) / 2;
  // biome-ignore format: corner table
  const points: number[][] = [
    [-1, g, 0], [1, g, 0], [-1, -g, 0], [1, -g, 0], [0, -1, g], [0, 1, g],
    [0, -1, -g], [0, 1, -g], [g, 0, -1], [g, 0, 1], [-g, 0, -1], [-g, 0, 1],
  ];
  // biome-ignore format: facet table
  let facets = [
    0, 11, 5, 0, 5, 1, 0, 1, 7, 0, 7, 10, 0, 10, 11, 1, 5, 9, 5, 11, 4, 11, 10, 2, 10, 7, 6, 7, 1, 8,
    3, 9, 4, 3, 4, 2, 3, 2, 6, 3, 6, 8, 3, 8, 9, 4, 9, 5, 2, 4, 11, 6, 2, 10, 8, 6, 7, 9, 8, 1,
  ];
  for (let level = 0; level < subdivisions; level++) facets = subdivide(points, facets);
  const positions = points.flatMap((p) => {
    const length = Math.hypot(...p);
    return p.map((c) => (c / length) * radius);
  });
  return meshOf(positions, facets);
}

function subdivide(points: number[][], facets: number[]): number[] {
  const middles = new Map<string, number>();
  const middle = (a: number, b: number): number => {
    const key = a < b ? `${a},${b}` : `${b},${a}`;
    let index = middles.get(key);
    if (index === undefined) {
      const p = points[a]!.map((c, i) => c + points[b]![i]!);
      const length = Math.hypot(...p);
      index = points.push(p.map((c) => c / length)) - 1;
      middles.set(key, index);
    }
    return index;
  };
  for (let i = 0; i < points.length; i++) {
    const length = Math.hypot(...points[i]!);
    points[i] = points[i]!.map((c) => c / length);
  }
  const finer: number[] = [];
  for (let f = 0; f < facets.length; f += 3) {
    const [a, b, c] = [facets[f]!, facets[f + 1]!, facets[f + 2]!];
    const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)];
    finer.push(a, ab, ca, b, bc, ab, c, ca, bc, ab, bc, ca);
  }
  return finer;
}

/** Torus about z: ring radius R, tube radius r, nu steps around the ring, nv around the tube. Smooth volume 2π²Rr². */
export function torus(ringRadius: number, tubeRadius: number, nu = 96, nv = 48): Mesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i < nu; i++) {
    for (let j = 0; j < nv; j++) {
      const u = (2 * Math.PI * i) / nu;
      const v = (2 * Math.PI * j) / nv;
      const reach = ringRadius + tubeRadius * Math.cos(v);
      positions.push(reach * Math.cos(u), reach * Math.sin(u), tubeRadius * Math.sin(v));
      const a = i * nv + j;
      const b = ((i + 1) % nu) * nv + j;
      const c = ((i + 1) % nu) * nv + ((j + 1) % nv);
      const d = i * nv + ((j + 1) % nv);
      triangles.push(a, b, c, a, c, d);
    }
  }
  return meshOf(positions, triangles);
}

/** Cylinder on z = 0 about the z axis. Volume `polygonArea(radius, n)·height`. */
export function cylinder(radius: number, height: number, n = 64): Mesh {
  return lathe(
    [
      [0, 0],
      [radius, 0],
      [radius, height],
      [0, height],
    ],
    n,
  );
}

/** Cone on z = 0, tip up at z = height. Volume `polygonArea(radius, n)·height/3`. */
export function cone(radius: number, height: number, n = 64): Mesh {
  return lathe(
    [
      [0, 0],
      [radius, 0],
      [0, height],
    ],
    n,
  );
}

/** Pipe on z = 0, open at both ends. Volume (`polygonArea(outer)` − `polygonArea(inner)`)·height. */
export function tube(outer: number, inner: number, height: number, n = 64): Mesh {
  return lathe(
    [
      [inner, 0],
      [outer, 0],
      [outer, height],
      [inner, height],
      [inner, 0],
    ],
    n,
  );
}

/** Beaker on z = 0 with a floor of thickness `floor`, open at the top. */
export function cup(outer: number, inner: number, height: number, floor: number, n = 64): Mesh {
  return lathe(
    [
      [0, 0],
      [outer, 0],
      [outer, height],
      [inner, height],
      [inner, floor],
      [0, floor],
    ],
    n,
  );
}

/** Sphere of radius R with a reversed sphere of radius R − thickness inside: a sealed hollow. */
export function hollowSphere(radius: number, thickness: number, segments = 64): Mesh {
  return join(sphere(radius, segments), reversed(sphere(radius - thickness, segments)));
}

/**
 * Turns a profile of (radius, z) points about z with n steps. The profile runs with the solid on its
 * left (bottom axis point → outside → top axis point); radius 0 makes a single vertex; a last point
 * equal to the first closes a ring.
 */
export function lathe(profile: readonly (readonly [number, number])[], n: number): Mesh {
  const first = profile[0]!;
  const last = profile[profile.length - 1]!;
  const ring = first[0] > 0 && first[0] === last[0] && first[1] === last[1];
  const points = ring ? profile.slice(0, -1) : profile;
  const positions: number[] = [];
  const start: number[] = [];
  for (const [r, z] of points) {
    start.push(positions.length / 3);
    if (r === 0) positions.push(0, 0, z);
    else {
      for (let i = 0; i < n; i++) {
        const angle = (2 * Math.PI * i) / n;
        positions.push(r * Math.cos(angle), r * Math.sin(angle), z);
      }
    }
  }
  const triangles: number[] = [];
  const bands = ring ? points.length : points.length - 1;
  for (let band = 0; band < bands; band++) {
    const low = band;
    const high = (band + 1) % points.length;
    for (let i = 0; i < n; i++) {
      const next = (i + 1) % n;
      const at = (level: number, step: number) =>
        points[level]![0] === 0 ? start[level]! : start[level]! + step;
      if (points[low]![0] > 0) triangles.push(at(low, i), at(low, next), at(high, next));
      if (points[high]![0] > 0) triangles.push(at(low, i), at(high, next), at(high, i));
    }
  }
  return meshOf(positions, triangles);
}

/** Area of the regular n-gon inscribed in a circle. */
export const polygonArea = (radius: number, n: number): number =>
  (n / 2) * radius * radius * Math.sin((2 * Math.PI) / n);

/** Several meshes as one, nothing welded. */
export function join(...meshes: readonly Mesh[]): Mesh {
  const positions = new Float32Array(meshes.reduce((sum, m) => sum + m.positions.length, 0));
  const triangles = new Uint32Array(meshes.reduce((sum, m) => sum + m.triangles.length, 0));
  let p = 0;
  let t = 0;
  for (const mesh of meshes) {
    const offset = p / 3;
    positions.set(mesh.positions, p);
    for (const vertex of mesh.triangles) triangles[t++] = vertex + offset;
    p += mesh.positions.length;
  }
  return { positions, triangles };
}

/** Every facet turned round. */
export function reversed(mesh: Mesh): Mesh {
  const triangles = mesh.triangles.slice();
  for (let t = 0; t < triangles.length; t += 3) {
    triangles[t + 1] = mesh.triangles[t + 2]!;
    triangles[t + 2] = mesh.triangles[t + 1]!;
  }
  return { positions: mesh.positions, triangles };
}

export interface Transform {
  readonly scale?: number | Vec3;
  /** Degrees, Rz·Ry·Rx about fixed axes. */
  readonly turn?: Vec3;
  readonly shift?: Vec3;
}

/** Scale, then turn, then shift; computed in float64. */
export function transformed(mesh: Mesh, { scale = 1, turn = [0, 0, 0], shift = [0, 0, 0] }: Transform): Mesh {
  const factors = typeof scale === 'number' ? [scale, scale, scale] : scale;
  const positions = new Float32Array(mesh.positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    const p = turned(
      [
        mesh.positions[i]! * factors[0]!,
        mesh.positions[i + 1]! * factors[1]!,
        mesh.positions[i + 2]! * factors[2]!,
      ],
      turn,
    );
    for (let axis = 0; axis < 3; axis++) positions[i + axis] = p[axis]! + shift[axis]!;
  }
  return { positions, triangles: mesh.triangles };
}

/** A point turned Rz·Ry·Rx, degrees. */
export function turned(point: Vec3, turn: Vec3): Vec3 {
  const [a, b, c] = turn.map((degrees) => (degrees * Math.PI) / 180) as [number, number, number];
  const [x, y, z] = point;
  const y1 = y * Math.cos(a) - z * Math.sin(a);
  const z1 = y * Math.sin(a) + z * Math.cos(a);
  const x2 = x * Math.cos(b) + z1 * Math.sin(b);
  const z2 = -x * Math.sin(b) + z1 * Math.cos(b);
  return [x2 * Math.cos(c) - y1 * Math.sin(c), x2 * Math.sin(c) + y1 * Math.cos(c), z2];
}

/** Σ v1·(v2×v3)/6 in float64. */
export function volumeOf(mesh: Mesh): number {
  const { positions: p, triangles: t } = mesh;
  let sum = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [t[i]! * 3, t[i + 1]! * 3, t[i + 2]! * 3];
    sum +=
      p[a]! * (p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!) +
      p[a + 1]! * (p[b + 2]! * p[c]! - p[b]! * p[c + 2]!) +
      p[a + 2]! * (p[b]! * p[c + 1]! - p[b + 1]! * p[c]!);
  }
  return sum / 6;
}

/** Binary STL bytes: zero header, zero normals. */
export function toStl(mesh: Mesh): Uint8Array {
  const facets = mesh.triangles.length / 3;
  const bytes = new Uint8Array(84 + 50 * facets);
  const view = new DataView(bytes.buffer);
  view.setUint32(80, facets, true);
  for (let corner = 0; corner < mesh.triangles.length; corner++) {
    const vertex = mesh.triangles[corner]! * 3;
    const at = 84 + 50 * Math.floor(corner / 3) + 12 + 12 * (corner % 3);
    for (let axis = 0; axis < 3; axis++) view.setFloat32(at + 4 * axis, mesh.positions[vertex + axis]!, true);
  }
  return bytes;
}

/** Nine floats a triangle. */
export function toSoup(mesh: Mesh): Float32Array {
  const soup = new Float32Array(mesh.triangles.length * 3);
  for (let corner = 0; corner < mesh.triangles.length; corner++) {
    const vertex = mesh.triangles[corner]! * 3;
    soup.set(mesh.positions.subarray(vertex, vertex + 3), corner * 3);
  }
  return soup;
}

/** Seeded generator of numbers in [0, 1) (mulberry32, public domain). */
export function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Loose facets in random order. */
export function shuffled(soup: Float32Array, seed: number): Float32Array {
  const next = random(seed);
  const order = Uint32Array.from({ length: soup.length / 9 }, (_, f) => f);
  for (let i = order.length - 1; i > 0; i--) {
    const j = Math.floor(next() * (i + 1));
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  return Float32Array.from(soup, (_, i) => soup[9 * order[Math.floor(i / 9)]! + (i % 9)]!);
}

/** STL bytes of an open test mesh kept beside the repository; null where it is absent. */
export function loadSharedStl(name: string): Uint8Array | null {
  const file = fileURLToPath(new URL(`../../shared/data/${name}.stl.gz`, import.meta.url));
  return existsSync(file) ? new Uint8Array(gunzipSync(readFileSync(file))) : null;
}

/** The same, with bit-equal corners welded. Written apart from the code under test, on purpose. */
export function loadSharedMesh(name: string): Mesh | null {
  const bytes = loadSharedStl(name);
  if (bytes === null) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const corners = view.getUint32(80, true) * 3;
  const known = new Map<string, number>();
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let corner = 0; corner < corners; corner++) {
    const at = 84 + 50 * Math.floor(corner / 3) + 12 + 12 * (corner % 3);
    const point = [0, 4, 8].map((byte) => view.getFloat32(at + byte, true) + 0);
    const key = point.join(',');
    let index = known.get(key);
    if (index === undefined) {
      index = positions.push(...point) / 3 - 1;
      known.set(key, index);
    }
    triangles.push(index);
  }
  return meshOf(positions, triangles);
}

/** A mesh from plain arrays. */
export function meshOf(positions: ArrayLike<number>, triangles: ArrayLike<number>): Mesh {
  return { positions: Float32Array.from(positions), triangles: Uint32Array.from(triangles) };
}

import type { Mesh } from './mesh/mesh.ts';
import type { Vec3 } from './vector.ts';

/** p ↦ linear·p + shift; `linear` row-major 3×3. Plain data, so that it can be stored and sent. */
export interface Affine {
  readonly linear: readonly number[];
  readonly shift: Vec3;
}

/** The affine map behind a function that is one. */
export function affineOf(map: (point: Vec3) => Vec3): Affine {
  const shift = map([0, 0, 0]);
  const columns = (
    [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ] as const
  ).map((axis) => map(axis));
  const linear = [0, 1, 2].flatMap((row) => columns.map((column) => column[row]! - shift[row]!));
  return { linear, shift };
}

export function applyAffine({ linear: m, shift }: Affine, [x, y, z]: Vec3): Vec3 {
  return [
    m[0]! * x + m[1]! * y + m[2]! * z + shift[0],
    m[3]! * x + m[4]! * y + m[5]! * z + shift[1],
    m[6]! * x + m[7]! * y + m[8]! * z + shift[2],
  ];
}

/** The inverse of a map made of a rotation (or mirror image) and one common factor. */
export function invertSimilarity({ linear: m, shift }: Affine): Affine {
  const squared = m[0]! ** 2 + m[1]! ** 2 + m[2]! ** 2;
  const inverse = [m[0]!, m[3]!, m[6]!, m[1]!, m[4]!, m[7]!, m[2]!, m[5]!, m[8]!].map(
    (value) => value / squared,
  );
  const back = applyAffine({ linear: inverse, shift: [0, 0, 0] }, shift);
  return { linear: inverse, shift: [-back[0], -back[1], -back[2]] };
}

/** First scales by `factor`, then maps: for meshes that are kept at another size than `map` expects. */
export function afterScaling(map: Affine, factor: number): Affine {
  return { linear: map.linear.map((value) => value * factor), shift: map.shift };
}

/** The mesh in its new place; facets keep their order (the caller turns them when the map mirrors). */
export function transformMesh(mesh: Mesh, { linear, shift }: Affine): Mesh {
  const [a, b, c, d, e, f, g, h, i] = linear as readonly number[] as [
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
  const { positions } = mesh;
  const moved = new Float32Array(positions.length);
  for (let at = 0; at < positions.length; at += 3) {
    const x = positions[at]!;
    const y = positions[at + 1]!;
    const z = positions[at + 2]!;
    moved[at] = a * x + b * y + c * z + shift[0];
    moved[at + 1] = d * x + e * y + f * z + shift[1];
    moved[at + 2] = g * x + h * y + i * z + shift[2];
  }
  return { positions: moved, triangles: mesh.triangles };
}

/**
 * How a surface passes one cell of a lattice, by the sides of its eight corners.
 *
 * Corner c lies at (c & 1, c >> 1 & 1, c >> 2); bit c of a configuration is set when it is deep.
 * Edge 4·axis + u + 2·v runs along `axis` at (u, v) of the other two axes in ascending order.
 * Face 2·axis + side. A *patch* is one sheet of surface inside the cell: a loop of crossed edges,
 * linked across the faces. On a face whose corners alternate, the deep corners are kept apart,
 * unless that face's bit of `joined` is set. Nielson 2004, *Dual marching cubes*.
 */
const cache: (Int8Array | undefined)[] = new Array(256 * 64);

export const edgeCorners: readonly (readonly [number, number])[] = Array.from({ length: 12 }, (_, edge) => {
  const axis = edge >> 2;
  const [first, second] = otherAxes(axis);
  const low = ((edge & 1) << first) | (((edge >> 1) & 1) << second);
  return [low, low | (1 << axis)] as const;
});

function otherAxes(axis: number): readonly [number, number] {
  return axis === 0 ? [1, 2] : axis === 1 ? [0, 2] : [0, 1];
}

/** Per edge the patch it belongs to, −1 where it is not crossed; entry 12 is the number of patches. */
export function cellPatches(configuration: number, joined: number): Int8Array {
  const key = configuration * 64 + joined;
  let patches = cache[key];
  if (patches === undefined) {
    patches = tracePatches(configuration, joined);
    cache[key] = patches;
  }
  return patches;
}

function tracePatches(configuration: number, joined: number): Int8Array {
  const group = Array.from({ length: 12 }, (_, edge) => edge);
  const root = (edge: number): number => (group[edge] === edge ? edge : root(group[edge]!));
  for (let face = 0; face < 6; face++) {
    for (const [a, b] of faceSegments(configuration, face, ((joined >> face) & 1) === 1))
      group[root(a)] = root(b);
  }
  const patches = new Int8Array(13).fill(-1);
  const numbers = new Map<number, number>();
  for (let edge = 0; edge < 12; edge++) {
    if (!isCrossed(configuration, edge)) continue;
    const at = root(edge);
    if (!numbers.has(at)) numbers.set(at, numbers.size);
    patches[edge] = numbers.get(at)!;
  }
  patches[12] = numbers.size;
  return patches;
}

const isCrossed = (configuration: number, edge: number): boolean => {
  const [a, b] = edgeCorners[edge]!;
  return ((configuration >> a) & 1) !== ((configuration >> b) & 1);
};

/** Corners of a face in cyclic order. */
function faceCorners(face: number): readonly number[] {
  const [first, second] = otherAxes(face >> 1);
  const base = (face & 1) << (face >> 1);
  return [base, base | (1 << first), base | (1 << first) | (1 << second), base | (1 << second)];
}

function edgeBetween(a: number, b: number): number {
  return edgeCorners.findIndex(([low, high]) => (low === a && high === b) || (low === b && high === a));
}

/** Bit per face whose corners alternate between deep and shallow, by configuration. */
export const ambiguousFaces: Uint8Array = Uint8Array.from({ length: 256 }, (_, configuration) => {
  let faces = 0;
  for (let face = 0; face < 6; face++) {
    const [a, b, c, d] = faceCorners(face).map((corner) => (configuration >> corner) & 1);
    if (a === c && b === d && a !== b) faces |= 1 << face;
  }
  return faces;
});

/** The one or two pairs of crossed edges that the surface links on a face. */
export function faceSegments(configuration: number, face: number, joined: boolean): [number, number][] {
  const corners = faceCorners(face);
  const edges = corners.map((corner, n) => edgeBetween(corner, corners[(n + 1) % 4]!));
  if (((ambiguousFaces[configuration]! >> face) & 1) === 0) {
    const crossed = edges.filter((edge) => isCrossed(configuration, edge));
    return crossed.length === 2 ? [[crossed[0]!, crossed[1]!]] : [];
  }
  const cut = corners.findIndex((corner) => (((configuration >> corner) & 1) === 1) !== joined);
  const other = (cut + 2) % 4;
  return [cut, other].map((n) => [edges[(n + 3) % 4]!, edges[n]!]);
}

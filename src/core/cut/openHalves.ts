import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { type CutPlane, heightsOver } from './cutPlane.ts';

/** Both halves of a mesh, still open at the seam. They share `positions`; every facet keeps its sense. */
export interface OpenHalves {
  /** Of the mesh, then one for each edge that the plane crosses, on the plane. */
  readonly positions: Float32Array;
  readonly back: OpenHalf;
  readonly front: OpenHalf;
}

export interface OpenHalf {
  readonly triangles: Uint32Array;
  /** Edges at the seam with a facet on one side only, in the direction of that facet: closed loops. */
  readonly rim: { readonly from: Uint32Array; readonly to: Uint32Array };
}

const facetsPerTick = 1 << 16;
/** Vertices within so many steps of float32 (of the largest coordinate) lie on the plane: who wrote them meant it. */
const ON_PLANE_STEPS = 4;

/**
 * Cuts a closed, outward mesh at a plane. Vertices on the plane stay what they are, and facets within it
 * belong to neither half: the cap takes their place. Facets that do not meet the plane keep their order,
 * those that were cut follow. A half without facets lies wholly on the other side.
 */
export function openHalves(mesh: Mesh, plane: CutPlane, interrupter: Interrupter): OpenHalves {
  const { positions, triangles } = mesh;
  const vertices = positions.length / 3;
  const heights = heightsOver(plane, positions);
  const sides = sidesOf(heights, ON_PLANE_STEPS * float32Step(positions));
  const crossings = crossingsOf(mesh, heights);
  const isOnPlane = (vertex: number): boolean => vertex >= vertices || sides[vertex] === 0;
  const back = openHalf(mesh, isOnPlane);
  const front = openHalf(mesh, isOnPlane);
  for (let at = 0; at < triangles.length; at += 3) {
    if (at % (3 * facetsPerTick) === 0) interrupter(at / triangles.length);
    const a = sides[triangles[at]!]!;
    const b = sides[triangles[at + 1]!]!;
    const c = sides[triangles[at + 2]!]!;
    const low = Math.min(a, b, c);
    const high = Math.max(a, b, c);
    if (low < 0 && high > 0) {
      const corners = [0, 1, 2].map((corner) => triangles[at + corner]!);
      back.addPiece(pieceOf(corners, sides, -1, crossings.vertexOn));
      front.addPiece(pieceOf(corners, sides, 1, crossings.vertexOn));
    } else if (low < 0) back.addWhole(at, high === 0);
    else if (high > 0) front.addWhole(at, low === 0);
  }
  const all = new Float32Array(positions.length + crossings.points.length);
  all.set(positions);
  all.set(crossings.points, positions.length);
  return { positions: all, back: back.done(), front: front.done() };
}

/** New vertices on the edges that the plane crosses, one an edge. */
function crossingsOf({ positions }: Mesh, heights: Float64Array) {
  const points: number[] = [];
  const known = new Map<number, number>();
  const vertices = heights.length;
  const vertexOn = (a: number, b: number): number => {
    // From the lower index, so that both facets of the edge find it.
    const [low, high] = a < b ? [a, b] : [b, a];
    const key = low * vertices + high;
    const found = known.get(key);
    if (found !== undefined) return found;
    const t = heights[low]! / (heights[low]! - heights[high]!);
    for (let axis = 0; axis < 3; axis++) {
      const from = positions[3 * low + axis]!;
      points.push(from + t * (positions[3 * high + axis]! - from));
    }
    const vertex = vertices + points.length / 3 - 1;
    known.set(key, vertex);
    return vertex;
  };
  return { points, vertexOn };
}

/** Corners of the piece of a facet on one side (−1 or 1), what lies on the plane included. */
function pieceOf(
  corners: readonly number[],
  sides: Int8Array,
  wanted: number,
  vertexOn: (a: number, b: number) => number,
): number[] {
  const piece: number[] = [];
  corners.forEach((vertex, n) => {
    const next = corners[(n + 1) % 3]!;
    if (sides[vertex]! * wanted >= 0) piece.push(vertex);
    if (sides[vertex]! * sides[next]! < 0) piece.push(vertexOn(vertex, next));
  });
  return piece;
}

/** A step of float32 at the largest coordinate. */
function float32Step(positions: Float32Array): number {
  let most = 0;
  for (let at = 0; at < positions.length; at++) most = Math.max(most, Math.abs(positions[at]!));
  return most * 2 ** -23;
}

function sidesOf(heights: Float64Array, tolerance: number): Int8Array {
  const sides = new Int8Array(heights.length);
  for (let v = 0; v < sides.length; v++) {
    const height = heights[v]!;
    sides[v] = height > tolerance ? 1 : height < -tolerance ? -1 : 0;
  }
  return sides;
}

/** Gathers the facets of one half, and its rim: the edges on the plane that no second facet of the half shares. */
function openHalf({ positions, triangles }: Mesh, isOnPlane: (vertex: number) => boolean) {
  const whole = new Uint32Array(triangles.length);
  const pieces: number[] = [];
  const rim = new Map<number, readonly [from: number, to: number]>();
  // Crossings are fewer than edges, and edges than three a facet.
  const span = positions.length / 3 + triangles.length;
  let filled = 0;
  const noteRim = (corners: ArrayLike<number>): void => {
    for (let corner = 0; corner < corners.length; corner++) {
      const from = corners[corner]!;
      const to = corners[(corner + 1) % corners.length]!;
      if (!isOnPlane(from) || !isOnPlane(to)) continue;
      if (!rim.delete(to * span + from)) rim.set(from * span + to, [from, to]);
    }
  };
  return {
    addWhole(at: number, touches: boolean): void {
      for (let corner = 0; corner < 3; corner++) whole[filled++] = triangles[at + corner]!;
      if (touches) noteRim(triangles.subarray(at, at + 3));
    },
    addPiece(corners: readonly number[]): void {
      for (let corner = 2; corner < corners.length; corner++)
        pieces.push(corners[0]!, corners[corner - 1]!, corners[corner]!);
      noteRim(corners);
    },
    done(): OpenHalf {
      const all = new Uint32Array(filled + pieces.length);
      all.set(whole.subarray(0, filled));
      all.set(pieces, filled);
      const edges = [...rim.values()];
      const from = Uint32Array.from(edges, ([start]) => start);
      return { triangles: all, rim: { from, to: Uint32Array.from(edges, ([, end]) => end) } };
    },
  };
}

import { type Interrupter, portion } from '../interrupter.ts';
import { addTetrahedron } from '../mesh/addTetrahedron.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { joinSets, numberSets, singletons } from '../unionFind.ts';
import type { Vec3 } from '../vector.ts';
import { cavitySkin } from './cavitySkin.ts';
import { oppositeSkin } from './oppositeSkin.ts';
import { pointGrid, visitNear } from './pointGrid.ts';
import type { SkinPoints } from './skinPoints.ts';
import type { ThinPatch } from './thinPatch.ts';
import { thinPatches } from './thinPatches.ts';

/** Odd solid inside a hollow, in the cavity's frame, mm. The largest first. */
export interface CavityFaults {
  /** Thin solid with hollow on both sides, held all round: it parts two hollows, or two folds of one. */
  readonly webs: readonly ThinPatch[];
  /** Thin solid with a free end: fins, needles, slivers that reach into the hollow. */
  readonly spikes: readonly ThinPatch[];
  /** Pieces of solid that the hollow surrounds: nothing holds them. */
  readonly loose: readonly LoosePiece[];
}

export interface LoosePiece {
  /** Within its outside, sculpted voids included. */
  readonly volumeMm3: number;
  readonly at: Vec3;
  readonly chamber: number;
}

/** Two skins of a web face apart to within this angle; the tip of a spike does not count for its thickness. Engineering choice. */
const WITHIN_DEG = 30;
/** Radius of the ball that must fit into the void beside a web or spike, over this part of it. Engineering choice. */
const WIDE_SPACINGS = 1.5;
const LEAST_ROOMY = 0.5;
/** Smaller patches are the raggedness of the field. Engineering choice, mm². */
const LEAST_PATCH_MM2 = 1;

/**
 * Looks at the solid between facets of the cavity alone. The exact hollow of a wall w (all that is
 * deeper than w) leaves none thinner than 2·w but where two hollows nearly meet; regions kept solid,
 * and walls as thin as the field's spacing, can leave any.
 */
export function cavityFaults(
  mesh: Mesh,
  facetChamber: Uint32Array,
  spacingMm: number,
  limitMm: number,
  interrupter: Interrupter,
): CavityFaults {
  const skin = cavitySkin(mesh);
  const options = { mostMm: limitMm, spacingMm, withinDeg: WITHIN_DEG };
  const { thicknessMm, other } = oppositeSkin(skin, options, portion(interrupter, 0, 0.8));
  const roomy = roomyPlaces(skin, thicknessMm, WIDE_SPACINGS * spacingMm);
  const { label, count } = thinPatches(mesh, thicknessMm);
  const opposite = patchOpposite(label, count, other);
  const areas = new Float64Array(count);
  const roomyAreas = new Float64Array(count);
  const thinnest = new Int32Array(count).fill(-1);
  for (let v = 0; v < label.length; v++) {
    const patch = label[v]!;
    if (patch < 0 || thicknessMm[v]! === Infinity) continue;
    areas[patch]! += skin.areaMm2[v]!;
    if (roomy[v] === 1) roomyAreas[patch]! += skin.areaMm2[v]!;
    const best = thinnest[patch]!;
    if (best < 0 || thicknessMm[v]! < thicknessMm[best]!) thinnest[patch] = v;
  }
  const webs: ThinPatch[] = [];
  const spikes: ThinPatch[] = [];
  for (let patch = 0; patch < count; patch++) {
    if (roomyAreas[patch]! < LEAST_ROOMY * areas[patch]!) continue;
    const facing = opposite[patch]!;
    if (facing === patch) spikes.push(asPatch(skin, thicknessMm, thinnest[patch]!, areas[patch]! / 2));
    // A web is told once, by the side that comes first; a side that faces no patch of its own stands alone.
    else if (facing < 0 || opposite[facing] !== patch || patch < facing)
      webs.push(asPatch(skin, thicknessMm, thinnest[patch]!, areas[patch]!));
  }
  return { webs: largestFirst(webs), spikes: largestFirst(spikes), loose: loosePieces(mesh, facetChamber) };
}

/**
 * 1 for thin places beside which a ball of radius `wide` fits into the void (the ball at a point that
 * touches another, q, has the radius |d|² / (2·d·n): Ma, Bae & Choi 2012). Where a hollow is hardly
 * deeper than the wall it is a slit with a ragged surface, and what stands in it harms nobody.
 */
function roomyPlaces({ points, normals }: SkinPoints, thicknessMm: Float32Array, wide: number): Uint8Array {
  const roomy = new Uint8Array(thicknessMm.length);
  if (!thicknessMm.some((thickness) => thickness < Infinity)) return roomy;
  const grid = pointGrid(points, wide);
  for (let v = 0; v < thicknessMm.length; v++) {
    if (thicknessMm[v] === Infinity) continue;
    const [px, py, pz] = [points[3 * v]!, points[3 * v + 1]!, points[3 * v + 2]!];
    const [nx, ny, nz] = [normals[3 * v]!, normals[3 * v + 1]!, normals[3 * v + 2]!];
    let fits = true;
    visitNear(grid, px + wide * nx, py + wide * ny, pz + wide * nz, wide, (q) => {
      const dx = points[3 * q]! - px;
      const dy = points[3 * q + 1]! - py;
      const dz = points[3 * q + 2]! - pz;
      const ahead = dx * nx + dy * ny + dz * nz;
      if (ahead > 0 && dx * dx + dy * dy + dz * dz < 2 * wide * ahead) fits = false;
    });
    if (fits) roomy[v] = 1;
  }
  return roomy;
}

function asPatch({ points }: SkinPoints, thicknessMm: Float32Array, v: number, areaMm2: number): ThinPatch {
  return {
    thicknessMm: thicknessMm[v]!,
    areaMm2,
    at: [points[3 * v]!, points[3 * v + 1]!, points[3 * v + 2]!],
  };
}

function largestFirst(patches: readonly ThinPatch[]): ThinPatch[] {
  return patches
    .filter(({ areaMm2 }) => areaMm2 >= LEAST_PATCH_MM2)
    .sort((a, b) => b.areaMm2 - a.areaMm2 || a.thicknessMm - b.thicknessMm);
}

/** The patch that most of a patch's vertices have opposite. */
function patchOpposite(label: Int32Array, count: number, other: Int32Array): Int32Array {
  const votes = Array.from({ length: count }, () => new Map<number, number>());
  for (let v = 0; v < label.length; v++) {
    if (label[v]! < 0 || other[v]! < 0) continue;
    const facing = label[other[v]!]!;
    const own = votes[label[v]!]!;
    own.set(facing, (own.get(facing) ?? 0) + 1);
  }
  return Int32Array.from(votes, (own) => {
    let best = -1;
    for (const [facing, n] of own) if (best < 0 || n > own.get(best)!) best = facing;
    return best;
  });
}

/** A connected piece of the cavity's surface whose facets enclose negative volume has solid inside it. */
function loosePieces({ positions: p, triangles: t }: Mesh, facetChamber: Uint32Array): LoosePiece[] {
  const sets = singletons(p.length / 3);
  for (let f = 0; f < t.length; f += 3) {
    joinSets(sets, t[f]!, t[f + 1]!);
    joinSets(sets, t[f]!, t[f + 2]!);
  }
  const { label, count } = numberSets(sets);
  const sums = new Float64Array(4 * count);
  const chamber = new Uint32Array(count);
  for (let f = 0; f < t.length; f += 3) {
    const piece = label[t[f]!]!;
    chamber[piece] = facetChamber[f / 3]!;
    addTetrahedron(p, 3 * t[f]!, 3 * t[f + 1]!, 3 * t[f + 2]!, sums, 4 * piece);
  }
  const pieces: LoosePiece[] = [];
  for (let piece = 0; piece < count; piece++) {
    const [volume, x, y, z] = sums.subarray(4 * piece, 4 * piece + 4) as unknown as [
      number,
      number,
      number,
      number,
    ];
    if (!(volume < 0)) continue;
    pieces.push({ volumeMm3: -volume, at: [x / volume, y / volume, z / volume], chamber: chamber[piece]! });
  }
  return pieces.sort((a, b) => b.volumeMm3 - a.volumeMm3);
}

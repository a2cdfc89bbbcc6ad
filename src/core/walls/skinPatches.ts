import type { Interrupter } from '../interrupter.ts';
import { boundsOf } from '../mesh/boundsOf.ts';
import type { Mesh } from '../mesh/mesh.ts';
import { keyNumbers } from './keyNumbers.ts';
import type { SkinPoints } from './skinPoints.ts';

/** A surface in little patches: its corners by cubic cell, chamber and the axis they face most. */
export interface SkinPatches {
  /** By corner. */
  readonly patchOf: Int32Array;
  readonly count: number;
  /** By patch: mean place, unit mean normal, area, chamber. */
  readonly places: Float64Array;
  readonly normals: Float64Array;
  readonly areaMm2: Float64Array;
  readonly chamber: Int32Array;
  /** Patches that share a facet with patch n: neighbours[start[n]] … neighbours[start[n + 1] − 1], ascending. */
  readonly start: Uint32Array;
  readonly neighbours: Uint32Array;
}

/** Corners and facets in near linear time; the patches stand in the order of their first corners. */
export function skinPatches(
  mesh: Mesh,
  facetChamber: Uint32Array,
  skin: SkinPoints,
  cellMm: number,
  interrupter: Interrupter,
): SkinPatches {
  const chamberOf = cornerChambers(mesh, facetChamber);
  const { patchOf, count } = assignPatches(mesh, chamberOf, skin.normals, cellMm);
  interrupter(0.4);
  const places = new Float64Array(3 * count);
  const normals = new Float64Array(3 * count);
  const areaMm2 = new Float64Array(count);
  const chamber = new Int32Array(count);
  for (let v = 0; v < patchOf.length; v++) {
    const patch = patchOf[v]!;
    const area = skin.areaMm2[v]!;
    for (let axis = 0; axis < 3; axis++) {
      places[3 * patch + axis]! += area * skin.points[3 * v + axis]!;
      normals[3 * patch + axis]! += area * skin.normals[3 * v + axis]!;
    }
    areaMm2[patch]! += area;
    chamber[patch] = chamberOf[v]!;
  }
  for (let patch = 0; patch < count; patch++) {
    const o = 3 * patch;
    const length = Math.hypot(normals[o]!, normals[o + 1]!, normals[o + 2]!) || 1;
    for (let axis = 0; axis < 3; axis++) {
      places[o + axis]! /= areaMm2[patch]! || 1;
      normals[o + axis]! /= length;
    }
  }
  interrupter(0.6);
  return { patchOf, count, places, normals, areaMm2, chamber, ...linkPatches(mesh, patchOf, count) };
}

function cornerChambers({ positions, triangles }: Mesh, facetChamber: Uint32Array): Int32Array {
  const chamber = new Int32Array(positions.length / 3);
  for (let corner = 0; corner < triangles.length; corner++)
    chamber[triangles[corner]!] = facetChamber[(corner / 3) | 0]!;
  return chamber;
}

function assignPatches(
  { positions: p }: Mesh,
  chamberOf: Int32Array,
  normals: Float32Array,
  cellMm: number,
): { patchOf: Int32Array; count: number } {
  const { min, max } = boundsOf(p);
  const nx = Math.floor((max[0] - min[0]) / cellMm) + 1;
  const ny = Math.floor((max[1] - min[1]) / cellMm) + 1;
  const nz = Math.floor((max[2] - min[2]) / cellMm) + 1;
  const numbers = keyNumbers();
  const patchOf = new Int32Array(p.length / 3);
  // Corners that follow each other mostly lie together.
  let last = -1;
  let number = -1;
  for (let v = 0; v < patchOf.length; v++) {
    const x = Math.floor((p[3 * v]! - min[0]) / cellMm);
    const y = Math.floor((p[3 * v + 1]! - min[1]) / cellMm);
    const z = Math.floor((p[3 * v + 2]! - min[2]) / cellMm);
    const way = facedAxis(normals[3 * v]!, normals[3 * v + 1]!, normals[3 * v + 2]!);
    const key = way + 6 * (x + nx * (y + ny * (z + nz * chamberOf[v]!)));
    if (key !== last) number = numbers.numberOf(key);
    last = key;
    patchOf[v] = number;
  }
  return { patchOf, count: numbers.count };
}

function facedAxis(x: number, y: number, z: number): number {
  const a = Math.abs(x);
  const b = Math.abs(y);
  const c = Math.abs(z);
  if (a >= b && a >= c) return x < 0 ? 0 : 1;
  if (b >= c) return y < 0 ? 2 : 3;
  return z < 0 ? 4 : 5;
}

function linkPatches(
  { triangles: t }: Mesh,
  patchOf: Int32Array,
  count: number,
): { start: Uint32Array; neighbours: Uint32Array } {
  const numbers = keyNumbers();
  const pairs: number[] = [];
  // Most facets lie in one patch, and the next often passes where the last did.
  let last = -1;
  const link = (from: number, to: number): void => {
    const key = from * count + to;
    if (from === to || key === last) return;
    last = key;
    if (numbers.numberOf(key) === pairs.length) pairs.push(key);
  };
  for (let f = 0; f < t.length; f += 3) {
    const a = patchOf[t[f]!]!;
    const b = patchOf[t[f + 1]!]!;
    const c = patchOf[t[f + 2]!]!;
    if (a === b && b === c) continue;
    // The facet on the other side of an edge tells the way back.
    link(a, b);
    link(b, c);
    link(c, a);
  }
  // By patch, then by neighbour.
  const sorted = Float64Array.from(pairs).sort();
  const start = new Uint32Array(count + 1);
  const neighbours = new Uint32Array(sorted.length);
  sorted.forEach((key, n) => {
    neighbours[n] = key % count;
    start[Math.floor(key / count) + 1]!++;
  });
  for (let patch = 0; patch < count; patch++) start[patch + 1]! += start[patch]!;
  return { start, neighbours };
}

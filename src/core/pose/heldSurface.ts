import type { Mesh } from '../mesh/mesh.ts';

/** What of a mesh faces the plate so flat that it does not carry itself; corners of its facets, x, y, z each. */
export interface HeldSurface {
  readonly hanging: Float64Array;
  /** Of facets within a layer of the lowest point: they lie on the plate when that does. */
  readonly contact: Float64Array;
  readonly contactMm2: number;
}

const HANGS = 1;
const LIES = 2;

/**
 * In the axes of the mesh, z in the direction of building, mm. `selfSupportDeg`: degrees from the plate from which on a surface
 * carries itself.
 */
export function heldSurface(mesh: Mesh, layerMm: number, selfSupportDeg: number): HeldSurface {
  const { positions: p, triangles: t } = mesh;
  const flattest = Math.cos((selfSupportDeg * Math.PI) / 180);
  const onPlate = lowestOf(p) + layerMm;
  const kinds = new Uint8Array(p.length / 3);
  let contactMm2 = 0;
  for (let at = 0; at < t.length; at += 3) {
    const [a, b, c] = [3 * t[at]!, 3 * t[at + 1]!, 3 * t[at + 2]!];
    const ux = p[b]! - p[a]!;
    const uy = p[b + 1]! - p[a + 1]!;
    const uz = p[b + 2]! - p[a + 2]!;
    const vx = p[c]! - p[a]!;
    const vy = p[c + 1]! - p[a + 1]!;
    const vz = p[c + 2]! - p[a + 2]!;
    const z = ux * vy - uy * vx;
    if (z >= 0) continue;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    if (-z <= flattest * Math.sqrt(x * x + y * y + z * z)) continue;
    const lies = p[a + 2]! <= onPlate && p[b + 2]! <= onPlate && p[c + 2]! <= onPlate;
    if (lies) contactMm2 -= z / 2;
    for (const corner of [a, b, c]) kinds[corner / 3]! |= lies ? LIES : HANGS;
  }
  return { hanging: cornersOf(p, kinds, HANGS), contact: cornersOf(p, kinds, LIES), contactMm2 };
}

function lowestOf(positions: Float32Array): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (let at = 2; at < positions.length; at += 3) lowest = Math.min(lowest, positions[at]!);
  return lowest;
}

function cornersOf(positions: Float32Array, kinds: Uint8Array, kind: number): Float64Array {
  let count = 0;
  for (let v = 0; v < kinds.length; v++) if ((kinds[v]! & kind) !== 0) count++;
  const corners = new Float64Array(3 * count);
  let next = 0;
  for (let v = 0; v < kinds.length; v++) {
    if ((kinds[v]! & kind) === 0) continue;
    for (let axis = 0; axis < 3; axis++) corners[next++] = positions[3 * v + axis]!;
  }
  return corners;
}

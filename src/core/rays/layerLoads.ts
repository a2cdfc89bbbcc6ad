import type { Mesh } from '../mesh/mesh.ts';
import type { Lattice } from './lattice.ts';

const MOST_SAMPLES = 1 << 17;

/** About how many facets each layer's plane cuts and how many crossings they give. */
export interface LayerLoads {
  readonly cuts: Float64Array;
  readonly crossings: Float64Array;
}

/**
 * Estimates the work of each layer from every so-manyth facet (all of them in small meshes): a few
 * milliseconds for a mesh of millions. Crossings are facet area seen along x over dy·dz, spread
 * evenly over the planes that cut the facet.
 */
export function layerLoads({ positions, triangles }: Mesh, { dy, z0, dz, layers }: Lattice): LayerLoads {
  const facets = triangles.length / 3;
  const stride = Math.max(1, Math.ceil(facets / MOST_SAMPLES));
  const cuts = new Float64Array(layers + 1);
  const crossings = new Float64Array(layers + 1);
  const layerOf = (z: number): number => Math.max(0, Math.min(layers, Math.ceil((z - z0) / dz - 0.5)));
  for (let f = 0; f < facets; f += stride) {
    const a = 3 * triangles[3 * f]!;
    const b = 3 * triangles[3 * f + 1]!;
    const c = 3 * triangles[3 * f + 2]!;
    const ay = positions[a + 1]!;
    const az = positions[a + 2]!;
    const bz = positions[b + 2]!;
    const cz = positions[c + 2]!;
    const low = layerOf(Math.min(az, bz, cz));
    const high = layerOf(Math.max(az, bz, cz));
    if (low === high) continue;
    const twice = Math.abs((positions[b + 1]! - ay) * (cz - az) - (bz - az) * (positions[c + 1]! - ay));
    const perLayer = (stride * twice) / (2 * dy * dz * (high - low));
    cuts[low]! += stride;
    cuts[high]! -= stride;
    crossings[low]! += perLayer;
    crossings[high]! -= perLayer;
  }
  return { cuts: runningSums(cuts), crossings: runningSums(crossings) };
}

/** Sums up the steps in place; the last, which closes them, is dropped. */
function runningSums(steps: Float64Array): Float64Array {
  for (let i = 1; i < steps.length; i++) steps[i]! += steps[i - 1]!;
  return steps.subarray(0, -1);
}

/** Crossings to make room for when the layers from … to − 1 are cast; never beyond what a mesh's size excuses. */
export function expectedCrossings(mesh: Mesh, { crossings }: LayerLoads, from: number, to: number): number {
  let sum = 0;
  for (let layer = from; layer < to; layer++) sum += Math.max(0, crossings[layer]!);
  return Math.min(sum, 65536 + 6 * mesh.triangles.length);
}

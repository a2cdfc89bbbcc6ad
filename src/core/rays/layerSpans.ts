import type { Interrupter } from '../interrupter.ts';
import type { Mesh } from '../mesh/mesh.ts';
import type { Lattice } from './lattice.ts';
import { type LayerLoads, layerLoads } from './layerLoads.ts';
import { sampleIndex } from './sampleIndex.ts';

/** Which layers a mesh lies in. Made once, it serves every range of layers that is cast. */
export interface LayerSpans {
  /** Per corner, the first layer whose plane is not below it. */
  readonly cornerLayer: Uint32Array;
  /** Per block of `SPAN_FACETS` facets in turn, the least and the greatest of its corners' layers. */
  readonly blockLow: Uint32Array;
  readonly blockHigh: Uint32Array;
  readonly loads: LayerLoads;
}

/** Facets that follow each other mostly lie together, so most ranges pass over most blocks. */
export const SPAN_FACETS = 256;

const cornersPerTick = 1 << 16;
const blocksPerTick = 1 << 8;

/** Two passes: over the corners and over the facets. */
export function layerSpans(mesh: Mesh, lattice: Lattice, interrupter: Interrupter): LayerSpans {
  const cornerLayer = layerOfCorners(mesh.positions, lattice, interrupter);
  const blocks = layersOfBlocks(mesh.triangles, cornerLayer, interrupter);
  return { cornerLayer, ...blocks, loads: layerLoads(mesh, lattice) };
}

function layerOfCorners(
  positions: Float32Array,
  { z0, dz, layers }: Lattice,
  interrupter: Interrupter,
): Uint32Array {
  const corners = positions.length / 3;
  const result = new Uint32Array(corners);
  for (let v = 0; v < corners; v++) {
    if (v % cornersPerTick === 0) interrupter(0);
    result[v] = sampleIndex(positions[3 * v + 2]!, z0, dz, layers);
  }
  return result;
}

function layersOfBlocks(
  triangles: Uint32Array,
  cornerLayer: Uint32Array,
  interrupter: Interrupter,
): Pick<LayerSpans, 'blockLow' | 'blockHigh'> {
  const corners = 3 * SPAN_FACETS;
  const blocks = Math.ceil(triangles.length / corners);
  const blockLow = new Uint32Array(blocks);
  const blockHigh = new Uint32Array(blocks);
  for (let block = 0; block < blocks; block++) {
    if (block % blocksPerTick === 0) interrupter(0);
    const end = Math.min(triangles.length, corners * (block + 1));
    let low = 0xffffffff;
    let high = 0;
    for (let corner = corners * block; corner < end; corner++) {
      const layer = cornerLayer[triangles[corner]!]!;
      if (layer < low) low = layer;
      if (layer > high) high = layer;
    }
    blockLow[block] = low;
    blockHigh[block] = high;
  }
  return { blockLow, blockHigh };
}

import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { type PackedSurface, wordsPerVertex } from '../../src/core/surface/packedSurface.ts';
import { norm, subtract, type Vec3 } from '../../src/core/vector.ts';

/** Triangles that follow each other in a cache-friendly order lie close together: one ball holds them. */
const facetsPerBlock = 128;

/** x, y, z and radius of the balls round the blocks of a surface's triangles, mm. */
export type FacetBlocks = Float32Array;

export function facetBlocks({ origin, step, vertices, triangles }: PackedSurface): FacetBlocks {
  const corners = 3 * facetsPerBlock;
  const blocks = new Float32Array(4 * Math.ceil(triangles.length / corners));
  for (let block = 0; 4 * block < blocks.length; block++) {
    const end = Math.min(triangles.length, (block + 1) * corners);
    let squared = 0;
    for (let axis = 0; axis < 3; axis++) {
      let low = Number.POSITIVE_INFINITY;
      let high = Number.NEGATIVE_INFINITY;
      for (let corner = block * corners; corner < end; corner++) {
        const value = vertices[wordsPerVertex * triangles[corner]! + axis]!;
        if (value < low) low = value;
        if (value > high) high = value;
      }
      blocks[4 * block + axis] = origin[axis]! + (step * (low + high)) / 2;
      squared += ((step * (high - low)) / 2) ** 2;
    }
    // The ball's own numbers are float32.
    blocks[4 * block + 3] = 1.0001 * Math.sqrt(squared) + step;
  }
  return blocks;
}

/** The triangles of all blocks that come within `radius` of a line (unit `direction`), in the surface's frame. */
export function nearbyFacets(
  surface: PackedSurface,
  blocks: FacetBlocks,
  through: Vec3,
  direction: Vec3,
  radius: number,
): Mesh {
  const found: number[] = [];
  for (let block = 0; 4 * block < blocks.length; block++) {
    const from = subtract([blocks[4 * block]!, blocks[4 * block + 1]!, blocks[4 * block + 2]!], through);
    const along = from[0] * direction[0] + from[1] * direction[1] + from[2] * direction[2];
    const apart = norm(from) ** 2 - along ** 2;
    if (apart <= (radius + blocks[4 * block + 3]!) ** 2) found.push(block);
  }
  return facetsOf(surface, found);
}

/** Vertices keep their order, so that an edge has the same lower end in every triangle. */
function facetsOf(surface: PackedSurface, blocks: readonly number[]): Mesh {
  const { origin, step, vertices } = surface;
  const corners = 3 * facetsPerBlock;
  const triangles = Uint32Array.from(
    blocks.flatMap((block) => [...surface.triangles.subarray(block * corners, (block + 1) * corners)]),
  );
  const used = [...new Set(triangles)].sort((a, b) => a - b);
  const indexOf = new Map(used.map((vertex, index) => [vertex, index]));
  const positions = new Float32Array(3 * used.length);
  used.forEach((vertex, index) => {
    for (let axis = 0; axis < 3; axis++) {
      positions[3 * index + axis] = origin[axis]! + step * vertices[wordsPerVertex * vertex + axis]!;
    }
  });
  return { positions, triangles: triangles.map((vertex) => indexOf.get(vertex)!) };
}

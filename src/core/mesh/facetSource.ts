import type { TriangleSoup } from './mesh.ts';

/** Facets of a file or an array, asked for block by block, so that nobody needs a copy of them all. */
export interface FacetSource {
  readonly count: number;
  /** Writes the nine float32 bit patterns of each listed facet, one facet after the other, to `into`. */
  read(facets: Uint32Array, into: Int32Array): void;
}

export function soupFacets(soup: TriangleSoup): FacetSource {
  const bits = new Int32Array(soup.buffer, soup.byteOffset, soup.length);
  return {
    count: Math.floor(soup.length / 9),
    read: (facets, into) => {
      for (let i = 0; i < facets.length; i++) {
        const from = 9 * facets[i]!;
        const to = 9 * i;
        for (let k = 0; k < 9; k++) into[to + k] = bits[from + k]!;
      }
    },
  };
}

/** Calls `use` with every block of facets in turn: those of `order`, or all as they stand. */
export function forEachBlock(
  { count }: FacetSource,
  order: Uint32Array | null,
  use: (facets: Uint32Array, first: number) => void,
): void {
  const list = new Uint32Array(blockFacets);
  for (let first = 0; first < count; first += blockFacets) {
    const size = Math.min(blockFacets, count - first);
    if (order !== null) {
      use(order.subarray(first, first + size), first);
      continue;
    }
    for (let i = 0; i < size; i++) list[i] = first + i;
    use(size === blockFacets ? list : list.subarray(0, size), first);
  }
}

/** A block's corners, 36 bytes a facet, stay in the processor's nearest cache. */
export const blockFacets = 512;

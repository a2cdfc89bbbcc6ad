/** A sheet's edges that have a facet on one side only, in the direction of that facet. */
export interface BorderEdges {
  readonly from: Uint32Array;
  readonly to: Uint32Array;
}

/**
 * The border of a sheet, ordered by its two vertices. Null when an edge has two facets on one side,
 * or a facet two equal corners. `vertices`: one more than the greatest index, at most 2²⁵.
 */
export function borderEdges(triangles: Uint32Array, vertices: number): BorderEdges | null {
  // Lower vertex, upper vertex and direction in one number below 2⁵³: sorting brings both sides together.
  const keys = new Float64Array(triangles.length);
  for (let at = 0; at < triangles.length; at++) {
    const a = triangles[at]!;
    const b = triangles[at % 3 === 2 ? at - 2 : at + 1]!;
    if (a === b) return null;
    keys[at] = 2 * (Math.min(a, b) * vertices + Math.max(a, b)) + (a < b ? 0 : 1);
  }
  keys.sort();
  const single: number[] = [];
  for (let at = 0; at < keys.length; ) {
    const key = keys[at]!;
    if (keys[at + 1] === key) return null;
    const paired = key % 2 === 0 && keys[at + 1] === key + 1;
    if (!paired) single.push(key);
    at += paired ? 2 : 1;
    if (at < keys.length && keys[at] === keys[at - 1]) return null;
  }
  return unpacked(single, vertices);
}

function unpacked(keys: readonly number[], vertices: number): BorderEdges {
  const from = new Uint32Array(keys.length);
  const to = new Uint32Array(keys.length);
  keys.forEach((key, n) => {
    const pair = Math.floor(key / 2);
    const [low, high] = [Math.floor(pair / vertices), pair % vertices];
    from[n] = key % 2 === 0 ? low : high;
    to[n] = key % 2 === 0 ? high : low;
  });
  return { from, to };
}

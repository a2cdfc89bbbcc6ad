import type { Mesh } from '../../src/core/mesh/mesh.ts';

/** Exact welding by the corners' bit patterns as words of a dictionary; vertices numbered as they come. */
export function weldByText(soup: Float32Array): Mesh {
  // Adding 0 turns −0 into 0.
  const values = soup.map((value) => value + 0);
  const bits = new Uint32Array(values.buffer);
  const known = new Map<string, number>();
  const positions: number[] = [];
  const triangles = new Uint32Array(soup.length / 3);
  for (let corner = 0; corner < triangles.length; corner++) {
    const at = 3 * corner;
    const word = `${bits[at]},${bits[at + 1]},${bits[at + 2]}`;
    let vertex = known.get(word);
    if (vertex === undefined) {
      vertex = known.size;
      known.set(word, vertex);
      positions.push(values[at]!, values[at + 1]!, values[at + 2]!);
    }
    triangles[corner] = vertex;
  }
  return { positions: Float32Array.from(positions), triangles };
}

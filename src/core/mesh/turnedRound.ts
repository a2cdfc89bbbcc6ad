/** The facets with their corners in the other sense: what was outside is inside. */
export function turnedRound(triangles: Uint32Array): Uint32Array {
  const turned = triangles.slice();
  for (let at = 0; at < turned.length; at += 3) {
    turned[at + 1] = triangles[at + 2]!;
    turned[at + 2] = triangles[at + 1]!;
  }
  return turned;
}

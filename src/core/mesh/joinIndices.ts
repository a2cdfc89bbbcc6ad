/** The lists one after the other. They may be longer than the arguments that a call can have. */
export function joinIndices(lists: readonly Uint32Array[]): Uint32Array {
  const all = new Uint32Array(lists.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const list of lists) {
    all.set(list, at);
    at += list.length;
  }
  return all;
}

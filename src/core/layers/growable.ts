/** A float array that grows by doubling, for output whose size is not known beforehand. */
export interface GrowableFloats {
  values: Float32Array;
  length: number;
}

export const growableFloats = (): GrowableFloats => ({ values: new Float32Array(1024), length: 0 });

export function pushPair(list: GrowableFloats, first: number, second: number): void {
  if (list.length + 2 > list.values.length) {
    const larger = new Float32Array(2 * list.values.length);
    larger.set(list.values);
    list.values = larger;
  }
  list.values[list.length++] = first;
  list.values[list.length++] = second;
}

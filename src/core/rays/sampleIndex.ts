/**
 * The first sample at or beyond `value` on the half-offset grid start + (i + ½)·step, clamped to
 * [0, count]. Samples are compared in the very arithmetic of `rowY` and `layerZ`, so a value that
 * lies exactly on a sample gives that sample: what ends there counts as before it.
 */
export function sampleIndex(value: number, start: number, step: number, count: number): number {
  let index = Math.ceil((value - start) / step - 0.5);
  if (!(index > 0)) return 0;
  if (index > count) index = count;
  while (index > 0 && start + (index - 0.5) * step >= value) index--;
  while (index < count && start + (index + 0.5) * step < value) index++;
  return index;
}

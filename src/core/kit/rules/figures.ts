/** A figure for a sentence: three significant digits or so, no trailing zeros, with its unit. */
export function figure(value: number, unit: string): string {
  const size = Math.abs(value);
  const decimals = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  const text = value.toFixed(decimals);
  return `${decimals > 0 ? text.replace(/\.?0+$/, '') : text} ${unit}`;
}

/** `layer 12, 0.6 mm above the plate`: where the layer starts. */
export function layerPlace(layer: number, layerHeight: number): string {
  return `layer ${layer} (${figure(layer * layerHeight, 'mm')})`;
}

export function plural(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** `vent 0`, `drain 1`: an opening's id as people say it. */
export function openingName(id: string): string {
  const [list, index] = id.split('/') as [string, string];
  return `${list.replace(/s$/, '')} ${index}`;
}

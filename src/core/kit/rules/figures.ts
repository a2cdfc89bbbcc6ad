import { shorten } from '../manifestPath.ts';

/** A figure for a sentence: three significant digits or so, no trailing zeros, with its unit. */
export function figure(value: number, unit: string, moreDigits = 0): string {
  const size = Math.abs(value);
  const decimals = (size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3) + moreDigits;
  const text = value.toFixed(decimals);
  return `${decimals > 0 ? text.replace(/\.?0+$/, '') : text} ${unit}`;
}

const mostMoreDigits = 3;

/** Two figures set against each other: as many digits more as it takes to tell them apart, three at most. */
export function figuresApart(a: number, b: number, unit: string): readonly [string, string] {
  let digits = 0;
  const pair = (): [string, string] => [figure(a, unit, digits), figure(b, unit, digits)];
  for (; a !== b && digits < mostMoreDigits; digits++) {
    const [first, second] = pair();
    if (first !== second) break;
  }
  return pair();
}

/** `layer 12, 0.6 mm above the plate`: where the layer starts. */
export function layerPlace(layer: number, layerHeight: number): string {
  return `layer ${layer} (${figure(layer * layerHeight, 'mm')})`;
}

export function plural(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** `vent 0`, `drain 1`, `passage 0 of base-seam`: an opening's id as people say it. */
export function openingName(id: string): string {
  const [list, index, ...cut] = id.split('/') as [string, string, ...string[]];
  const name = `${list.replace(/s$/, '')} ${index}`;
  return cut.length === 0 ? name : `${name} of ${shorten(cut.join('/'))}`;
}

/** As a sentence begins. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

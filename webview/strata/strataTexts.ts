import { openingName } from '../../src/core/kit/rules/figures.ts';
import type { Strata } from '../../src/protocol/partView.ts';
import { figureText } from '../shared/figureText.ts';
import { peakOf } from './columnRange.ts';

/** Height of a layer's plate side above the plate, mm. */
export function layerHeightText(strata: Strata, layer: number, digits: number): string {
  return `${(layer * strata.layerHeight).toFixed(digits)} mm`;
}

/** What the slider says: `layer 812, 40.6 mm, area 3120 mm², pull 31 N`; the cup where there is one. */
export function layerValueText(strata: Strata, layer: number): string {
  const cup = strata.cupAreaMm2[layer] ?? 0;
  return [
    `layer ${layer}`,
    `${Number((layer * strata.layerHeight).toFixed(2))} mm`,
    `area ${figureText(strata.areaMm2[layer] ?? 0, 'mm²')}`,
    ...(cup > 0 ? [`cup ${figureText(cup, 'mm²')}`] : []),
    `pull ${figureText(strata.pullN[layer] ?? 0, 'N')}`,
  ].join(', ');
}

export function cutText(strata: Strata, layer: number): string {
  return `Cut at layer ${layer} (${layerHeightText(strata, layer, 2)})`;
}

/** One thing the graph marks, in words. */
export interface StrataEvent {
  readonly layer: number;
  readonly text: string;
}

/** Everything the graph marks, from the plate up: the text equal of ticks, spans and markers. */
export function strataEvents(strata: Strata): StrataEvent[] {
  const events: StrataEvent[] = [];
  const say = (layer: number, text: string): void => {
    events.push({ layer, text });
  };
  const area = peakOf(strata.areaMm2);
  const pull = peakOf(strata.pullN);
  if (area.value > 0) say(area.layer, `Largest area, ${figureText(area.value, 'mm²')}.`);
  if (pull.value > 0)
    say(pull.layer, `Highest pull, ${figureText(pull.value, 'N')}${overLimit(strata, pull.value)}.`);
  strata.cups.forEach((cup, i) => {
    for (const event of cupEvents(cup, `Cup ${i + 1}`)) events.push(event);
  });
  for (const island of strata.islands) {
    const place = island.inside ? 'inside the hollow' : 'outside';
    say(island.layer, `Island starts ${place}, ${figureText(island.areaMm2, 'mm²')}.`);
  }
  if (strata.vatLowLayer !== null) say(strata.vatLowLayer, 'The vat runs low.');
  return events.sort((a, b) => a.layer - b.layer);
}

function overLimit(strata: Strata, pullN: number): string {
  const limit = figureText(strata.pullLimitN, 'N');
  return pullN > strata.pullLimitN ? `, over the limit of ${limit}` : `, under the limit of ${limit}`;
}

function* cupEvents(cup: Strata['cups'][number], name: string): Generator<StrataEvent> {
  const pull = `suction up to ${figureText(cup.peakPullN, 'N')}`;
  yield {
    layer: cup.fromLayer,
    text: `${name} starts, ${pull}, sealed for ${layerCount(cup.sealedLayers)}.`,
  };
  if (cup.joinsLayer !== null) {
    const by =
      cup.breather === null
        ? ''
        : cup.breather === 'mesh'
          ? ' through a sculpted hole'
          : ` through the ${openingName(cup.breather)}`;
    yield { layer: cup.joinsLayer, text: `${name} joins the outside${by}.` };
  }
  if (cup.breathesLayer !== null) yield { layer: cup.breathesLayer, text: `${name} breathes.` };
  const end = cup.breathesLayer === null ? `${name} ends and never breathed.` : `${name} ends.`;
  yield { layer: cup.toLayer, text: end };
}

function layerCount(count: number): string {
  return count === 1 ? '1 layer' : `${count} layers`;
}

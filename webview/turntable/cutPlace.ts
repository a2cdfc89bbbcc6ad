import type { CutPlace } from '../../src/protocol/look.ts';
import type { Strata } from '../../src/protocol/partView.ts';
import { clampLayer } from '../strata/layerAxis.ts';
import { type Cut, cutPlane } from './cut.ts';

/** A cut as a part with other layers can follow it. */
export function cutPlaceOf(cut: Cut, { layerHeight }: Pick<Strata, 'layerHeight'>): CutPlace {
  if (cut.by !== 'layer') return cut;
  return { by: 'layer', heightMm: cutPlane(cut, layerHeight)!.offset };
}

/** The cut of a part at that place: its nearest layer. */
export function cutAtPlace(
  place: CutPlace,
  { layerHeight, layers }: Pick<Strata, 'layerHeight' | 'layers'>,
): Cut {
  if (place.by !== 'layer') return place;
  return { by: 'layer', layer: clampLayer(Math.round(place.heightMm / layerHeight - 0.5), layers) };
}

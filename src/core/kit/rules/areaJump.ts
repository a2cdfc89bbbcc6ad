import type { FindingDraft } from '../finding.ts';
import { figure, layerPlace } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** Areas with openings cut. Both the ratio and the growth must be passed. The largest jump is told; its neighbours share its cause. */
export function areaJump({ part, facts, manifest }: PartContext): FindingDraft[] {
  const { areaJump: ratio, areaJumpMm2: growth } = manifest.limits;
  const { layerHeight } = facts.layers;
  const area = facts.loads.areaMm2;
  let worst = -1;
  for (let layer = 1; layer < area.length; layer++) {
    const below = area[layer - 1]!;
    const jumps = below > 0 && area[layer]! > ratio * below && area[layer]! - below > growth;
    if (jumps && (worst < 0 || area[layer]! - below > area[worst]! - area[worst - 1]!)) worst = layer;
  }
  if (worst < 0) return [];
  const [below, here] = [area[worst - 1]!, area[worst]!];
  return [
    {
      code: 'area-jump',
      ...atPart(part),
      message: `The printed area of ${part.name} grows from ${figure(below, 'mm²')} to ${figure(here, 'mm²')} in ${layerPlace(worst, layerHeight)}, ${figure(here / below, 'times')}; tilt the part so that it grows little by little.`,
      layer: worst,
      measured: here / below,
      limit: ratio,
      unit: '×',
    },
  ];
}

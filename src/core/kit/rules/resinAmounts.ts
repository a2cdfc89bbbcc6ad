import type { FindingDraft } from '../finding.ts';
import { shorten } from '../manifestPath.ts';
import { figure, layerPlace } from './figures.ts';
import { atPart, type KitContext, type PartContext } from './ruleContext.ts';

export function vatRunsLow({ part, facts, manifest }: PartContext): FindingDraft[] {
  const { vatLowLayer, liquidMm3, heldMm3 } = facts.loads;
  if (vatLowLayer === null) return [];
  const { vat, leastResinDepth, resinDepth, layer } = manifest.machine;
  const needed = (liquidMm3 + heldMm3) / 1000;
  return [
    {
      code: 'vat-runs-low',
      ...atPart(part),
      message: `A vat of ${figure(vat, 'ml')} filled once falls under ${figure(leastResinDepth, 'mm')} of resin in ${layerPlace(vatLowLayer, layer)} of ${part.name}, which takes ${figure(needed, 'ml')} (liquid, held resin included); refill before that layer.`,
      layer: vatLowLayer,
      measured: needed,
      limit: vat * (1 - leastResinDepth / resinDepth),
      unit: 'ml',
    },
  ];
}

/** Liquid, held resin and waste of every copy of every part, against what is in the bottles. */
export function resinShort({ manifest, facts }: KitContext): FindingDraft[] {
  const needed = new Map<string, number>();
  for (const part of manifest.parts) {
    const measured = facts.get(part.name);
    if (measured === undefined || part.resin === null) continue;
    const waste = (manifest.resins.get(part.resin)?.waste ?? 0) / 100;
    const each = (measured.loads.liquidMm3 * (1 + waste) + measured.loads.heldMm3) / 1000;
    needed.set(part.resin, (needed.get(part.resin) ?? 0) + each * (part.count + part.mirrored));
  }
  return [...needed].flatMap(([name, ml]): FindingDraft[] => {
    const { onHand = null, waste = 0 } = manifest.resins.get(name) ?? {};
    if (onHand === null || ml <= onHand) return [];
    return [
      {
        code: 'resin-short',
        part: null,
        path: ['resins', name, 'on-hand'],
        message: `The parts checked need ${figure(ml, 'ml')} of ${shorten(name)} (liquid, held resin and ${waste} % waste included) and ${figure(onHand, 'ml')} are on hand: ${figure(ml - onHand, 'ml')} short.`,
        measured: ml,
        limit: onHand,
        unit: 'ml',
      },
    ];
  });
}

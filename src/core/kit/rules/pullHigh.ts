import type { CupLoad } from '../../physics/partLoads.ts';
import type { FindingDraft } from '../finding.ts';
import { figure, figuresApart, layerPlace } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

export function pullHigh({ part, facts, manifest }: PartContext): FindingDraft[] {
  const { loads } = facts;
  const limit = manifest.limits.pull;
  if (!(loads.peakPullN > limit)) return [];
  const layer = loads.peakPullLayer;
  const solid = loads.areaMm2[layer] ?? 0;
  const cups = loads.cupAreaMm2[layer] ?? 0;
  // 1 kPa on 1 mm² is 0.001 N.
  const peel = manifest.film.peel * solid * 1e-3;
  const isPeel = peel >= loads.peakPullN / 2;
  const cup = strongestAt(loads.cups, layer);
  const isSqueezed = cup !== null && isSqueeze(cup, manifest.limits.sealedLayers);
  const cause = isPeel
    ? 'Most of it is the peel of solid area: tilt the part, or hollow it.'
    : suctionAdvice(isSqueezed);
  const [pull, most] = figuresApart(loads.peakPullN, limit, 'N');
  return [
    {
      code: 'pull-high',
      ...atPart(part),
      message:
        `${layerPlace(layer, manifest.machine.layer)} of ${part.name} pulls with up to ${pull}, above ${most}: ${figure(solid, 'mm²')} of solid and ${figure(cups, 'mm²')} of cups. ${cause}`.replace(
          /^layer/,
          'Layer',
        ),
      layer,
      measured: loads.peakPullN,
      limit,
      unit: 'N',
      // No opening takes off peel, or opens a cup of the sculpt's own.
      remedies: isPeel || isSqueezed || cup?.chamber == null ? [] : [{ kind: 'propose' }],
    },
  ];
}

function strongestAt(cups: readonly CupLoad[], layer: number): CupLoad | null {
  let strongest: CupLoad | null = null;
  for (const cup of cups) {
    if (layer < cup.fromLayer || layer > cup.toLayer) continue;
    if (strongest === null || cup.peakPullN > strongest.peakPullN) strongest = cup;
  }
  return strongest;
}

/** A cup that is not sealed for long, but too shallow where it pulls most for any opening to help, needs another pose. */
const isSqueeze = (cup: CupLoad, sealedLayers: number): boolean =>
  cup.sealedLayers <= sealedLayers && cup.squeezePullN >= cup.peakPullN / 2;

const suctionAdvice = (isSqueezed: boolean): string =>
  isSqueezed
    ? 'Most of it is the suction of cups with a flat, shallow start, where no vent helps: tilt the part, or dome the floor of the hollow.'
    : 'Most of it is the suction of cups: open them sooner or wider.';

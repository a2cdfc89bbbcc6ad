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
  const cup = strongestAt(loads.cups, layer);
  const cause = peel >= loads.peakPullN / 2 ? 'peel' : suctionCause(cup, layer, manifest.limits.sealedLayers);
  const [pull, most] = figuresApart(loads.peakPullN, limit, 'N');
  return [
    {
      code: 'pull-high',
      ...atPart(part),
      message:
        `${layerPlace(layer, manifest.machine.layer)} of ${part.name} pulls with up to ${pull}, above ${most}: ${figure(solid, 'mm²')} of solid and ${figure(cups, 'mm²')} of cups. ${advice[cause]}`.replace(
          /^layer/,
          'Layer',
        ),
      layer,
      measured: loads.peakPullN,
      limit,
      unit: 'N',
      // No opening takes off peel, helps a flat floor, or opens a cup of the sculpt's own.
      remedies: cause === 'peel' || cause === 'pose' || cup?.chamber == null ? [] : [{ kind: 'propose' }],
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

type Cause = 'peel' | 'pose' | 'far' | 'openings';

const advice: Readonly<Record<Cause, string>> = {
  peel: 'Most of it is the peel of solid area: tilt the part, or hollow it.',
  pose: 'Most of it is the suction of cups with a flat, shallow start, where no vent helps: tilt the part, or dome the floor of the hollow.',
  far: 'Most of it is the suction of cups whose floor lies too far from their openings: put another vent there, tilt the part, or dome the floor of the hollow.',
  openings: 'Most of it is the suction of cups: open them sooner or wider.',
};

/**
 * A cup that is not sealed for long, but too shallow where it pulls most for any opening to help, needs another
 * pose; one whose floor its openings do not reach, another opening.
 */
function suctionCause(cup: CupLoad | null, layer: number, sealedLayers: number): Cause {
  if (cup === null || cup.sealedLayers > sealedLayers || cup.squeezePullN < cup.peakPullN / 2)
    return 'openings';
  const isPose = cup.stretches.some(
    ({ passesLayer, squeezeFreeLayer }) => passesLayer <= layer && layer < squeezeFreeLayer,
  );
  return isPose ? 'pose' : 'far';
}

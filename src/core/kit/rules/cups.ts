import type { CupLoad } from '../../physics/partLoads.ts';
import type { FindingDraft } from '../finding.ts';
import type { ManifestPath } from '../manifest.ts';
import { figure, layerPlace, openingName, plural } from './figures.ts';
import { tellLargest } from './mostTold.ts';
import { openingPath, type PartContext } from './ruleContext.ts';

/** A cup sealed for longer than it may be. What it pulls is an upper bound, the atmosphere's. */
export function sealedCup({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { limits, machine } = manifest;
  return tellLargest(
    facts.loads.cups.filter((cup) => isTold(cup, limits.leastCup) && cup.sealedLayers > limits.sealedLayers),
    ({ peakAreaMm2 }) => peakAreaMm2,
    (cup) => ({
      code: 'sealed-cup',
      part: part.name,
      ...cupPlace(cup, part),
      message: `A cup of ${part.name} that starts in ${layerPlace(cup.fromLayer, machine.layer)} stays sealed for ${plural(cup.sealedLayers, 'layer')}, more than ${limits.sealedLayers}; the film may pull on it with up to ${figure(cup.peakPullN, 'N')}. ${sealedAdvice(cup)}`,
      layer: cup.fromLayer,
      at: cup.at,
      measured: cup.sealedLayers,
      limit: limits.sealedLayers,
      unit: 'layers',
    }),
  );
}

function sealedAdvice(cup: CupLoad): string {
  return cup.chamber === null
    ? 'Turn the part, or open the cup where it starts.'
    : 'Put a vent on the plate side of where it starts.';
}

/** A cup that is open, but whose suction comes under the limit for good too late. */
export function breathesLate({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { limits, machine } = manifest;
  const late = facts.loads.cups.filter(
    (cup) =>
      isTold(cup, limits.leastCup) &&
      cup.sealedLayers <= limits.sealedLayers &&
      cup.peakPullN > limits.suction &&
      layersToBreathe(cup) > limits.breatheLayers,
  );
  return tellLargest(
    late,
    ({ peakPullN }) => peakPullN,
    (cup) => ({
      code: 'breathes-late',
      part: part.name,
      ...cupPlace(cup, part),
      message: `The cup of ${part.name} that starts in ${layerPlace(cup.fromLayer, machine.layer)} pulls with up to ${figure(cup.peakPullN, 'N')} (${layerPlace(cup.peakPullLayer, machine.layer)}) and ${breathes(cup, limits.suction)}, not within ${limits.breatheLayers} layers. ${lateAdvice(cup, limits.breatheLayers)}`,
      layer: cup.peakPullLayer,
      at: cup.at,
      measured: layersToBreathe(cup),
      limit: limits.breatheLayers,
      unit: 'layers',
    }),
  );
}

function breathes(cup: CupLoad, suction: number): string {
  const limit = figure(suction, 'N');
  return cup.breathesLayer === null
    ? `never stays under ${limit}`
    : `stays under ${limit} only after ${plural(layersToBreathe(cup), 'layer')}`;
}

/** Where the squeeze between the hollow's floor and the film alone is late, no opening helps. */
function lateAdvice(cup: CupLoad, breatheLayers: number): string {
  const free = cup.squeezeFreeLayer;
  if (free === null || free - cup.fromLayer > breatheLayers) {
    return `The cause is its flat, shallow start: the resin squeezed between it and the film pulls with ${figure(cup.squeezePullN, 'N')} by itself, and no vent helps there; tilt the part, or dome the floor of the hollow.`;
  }
  const size = cup.ventMm === null ? '' : ` one of ${figure(cup.ventMm, 'mm')} at its start would do;`;
  const mouth =
    cup.breather === null || cup.breather === 'mesh'
      ? 'open it wider'
      : `make the ${openingName(cup.breather)} wider`;
  return `Its openings pull with ${figure(cup.openingsPullN, 'N')} by themselves:${size} ${mouth}, or put a vent nearer to where the cup starts.`;
}

/** Counted from its start; a cup that never breathes counts to one layer past its end. */
function layersToBreathe(cup: CupLoad): number {
  return (cup.breathesLayer ?? cup.toLayer + 1) - cup.fromLayer;
}

function isTold(cup: CupLoad, leastCupMm2: number): boolean {
  return cup.peakAreaMm2 >= leastCupMm2;
}

function cupPlace(
  cup: CupLoad,
  part: PartContext['part'],
): { readonly path: ManifestPath; readonly atKey?: true; readonly opening?: string } {
  if (cup.breather !== null && cup.breather !== 'mesh') {
    return { path: openingPath(part, cup.breather), opening: cup.breather };
  }
  return { path: ['parts', part.name], atKey: true };
}

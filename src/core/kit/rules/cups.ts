import type { CupLoad } from '../../physics/partLoads.ts';
import type { FindingDraft } from '../finding.ts';
import type { ManifestPath } from '../manifest.ts';
import { figure, layerPlace, openingName, plural } from './figures.ts';
import { tellLargest } from './mostTold.ts';
import { atPart, openingPath, type PartContext } from './ruleContext.ts';

/** A cup sealed for longer than it may be. What it pulls is an upper bound, the atmosphere's. */
export function sealedCup({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { limits, machine } = manifest;
  return tellLargest(
    facts.loads.cups.filter((cup) => isTold(cup, limits.leastCup) && cup.sealedLayers > limits.sealedLayers),
    ({ peakAreaMm2 }) => peakAreaMm2,
    (cup) => {
      const start = cup.sealedStart ?? { layer: cup.fromLayer, at: cup.at };
      return {
        code: 'sealed-cup',
        part: part.name,
        ...cupPlace(cup, part),
        message: `A cup of ${part.name} that starts in ${layerPlace(start.layer, machine.layer)} stays sealed for ${plural(cup.sealedLayers, 'layer')}, more than ${limits.sealedLayers}; the film may pull on it with up to ${figure(cup.peakPullN, 'N')}. ${sealedAdvice(cup, facts)}`,
        layer: start.layer,
        at: start.at,
        measured: cup.sealedLayers,
        limit: limits.sealedLayers,
        unit: 'layers',
      };
    },
  );
}

function sealedAdvice(cup: CupLoad, { openings, layers }: PartContext['facts']): string {
  if (cup.chamber === null) {
    return cup.fromLayer === 0
      ? 'The plate closes it: raise or turn the part, or open its side next to the plate.'
      : 'Turn the part, or open the cup where it starts.';
  }
  const onPlate = openings.find(
    ({ chamber, placed }) =>
      chamber === cup.chamber && placed !== null && placed.mouth[2] < layers.layerHeight,
  );
  if (onPlate !== undefined) {
    return `The ${openingName(onPlate.decision.id)} opens onto the plate, which closes it: raise the part, or put the vent into a side.`;
  }
  return cup.joinsLayer !== null && startsElsewhere(cup)
    ? 'It is a limb of a larger cup: give it a vent of its own on the plate side of where it starts.'
    : 'Put a vent on the plate side of where it starts.';
}

/** Whether the limb that stays sealed is another than the one the cup began with. */
function startsElsewhere({ sealedStart, at }: CupLoad): boolean {
  return sealedStart?.at.some((value, axis) => value !== at[axis]) ?? false;
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
      ...(isSqueezed(cup, limits.breatheLayers) ? atPart(part) : cupPlace(cup, part)),
      message: `The cup of ${part.name} that starts in ${layerPlace(cup.fromLayer, machine.layer)} pulls with up to ${figure(cup.peakPullN, 'N')} (${layerPlace(cup.peakPullLayer, machine.layer)}) and ${breathes(cup, limits.suction)}, not within ${limits.breatheLayers} layers. ${lateAdvice(cup, limits.breatheLayers, facts)}`,
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

/** Whether the squeeze between the hollow's floor and the film alone is late, so that no opening helps. */
function isSqueezed({ squeezeFreeLayer, fromLayer }: CupLoad, breatheLayers: number): boolean {
  return squeezeFreeLayer === null || squeezeFreeLayer - fromLayer > breatheLayers;
}

function lateAdvice(cup: CupLoad, breatheLayers: number, { openings }: PartContext['facts']): string {
  if (isSqueezed(cup, breatheLayers)) {
    return `The cause is its flat, shallow start: the resin squeezed between it and the film pulls with ${figure(cup.squeezePullN, 'N')} by itself, and no vent helps there; tilt the part, or dome the floor of the hollow.`;
  }
  const size = cup.ventMm === null ? '' : ` one of ${figure(cup.ventMm, 'mm')} at its start would do;`;
  const breather = openings.find(({ decision }) => decision.id === cup.breather);
  const isWide = breather !== undefined && breather.decision.diameter >= (cup.ventMm ?? Infinity);
  const wider =
    breather === undefined ? 'open it wider' : `make the ${openingName(breather.decision.id)} wider`;
  const remedy = isWide
    ? `the ${openingName(breather.decision.id)} is wide enough but not yet printed there: put it nearer to where the cup starts, best on its plate side.`
    : `${wider}, or put a vent nearer to where the cup starts.`;
  return `Its openings pull with ${figure(cup.openingsPullN, 'N')} by themselves:${size} ${remedy}`;
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

import type { CupLoad, LimbStretch, SealedLimb } from '../../physics/partLoads.ts';
import type { FindingDraft, Remedy } from '../finding.ts';
import type { Limits, ManifestPath } from '../manifest.ts';
import { openingPath } from '../openingPath.ts';
import { figure, figuresApart, layerPlace, openingName, plural } from './figures.ts';
import { tellLargest } from './mostTold.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** A limb of a cup sealed for longer than it may be. What it pulls is an upper bound, the atmosphere's. */
export function sealedCup({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { limits, machine } = manifest;
  return tellLargest(
    facts.loads.cups.flatMap((cup) =>
      cup.sealedLimbs.filter(isSealed(limits)).map((limb) => ({ cup, limb })),
    ),
    ({ limb }) => limb.peakAreaMm2,
    ({ cup, limb }) => {
      const { start, layers, peakPullN } = limb;
      const what = isSamePlace(start.at, cup.at) ? 'A cup' : 'A limb of a cup';
      return {
        code: 'sealed-cup',
        part: part.name,
        ...cupPlace(cup, part),
        message: `${what} of ${part.name} that starts in ${layerPlace(start.layer, machine.layer)} stays sealed for ${plural(layers, 'layer')}, more than ${limits.sealedLayers}; the film may pull on it with up to ${figure(peakPullN, 'N')}. ${sealedAdvice(cup, limb, facts)}`,
        layer: start.layer,
        at: start.at,
        measured: layers,
        limit: limits.sealedLayers,
        unit: 'layers',
        // A cup that the sculpt itself makes can breathe only through a hollow behind it.
        ...((cup.chamber !== null || facts.hollow.chambers.length > 0) && {
          remedies: [{ kind: 'propose' as const }],
        }),
      };
    },
  );
}

const isSealed =
  ({ sealedLayers, leastCup }: Limits) =>
  (limb: SealedLimb): boolean =>
    limb.layers > sealedLayers && limb.peakAreaMm2 >= leastCup;

function sealedAdvice(
  cup: CupLoad,
  limb: SealedLimb,
  { openings, layers, hollow }: PartContext['facts'],
): string {
  if (cup.chamber === null) {
    return cup.fromLayer === 0
      ? 'The plate closes it: raise or turn the part, or open its side next to the plate.'
      : hollow.chambers.length > 0
        ? 'Turn the part, or put a vent through the cup’s floor into the hollow behind it.'
        : 'Turn the part, or open the cup where it starts.';
  }
  const onPlate = openings.find(
    ({ chamber, placed }) =>
      chamber === cup.chamber && placed !== null && placed.mouth[2] < layers.layerHeight,
  );
  if (onPlate !== undefined) {
    return `The ${openingName(onPlate.decision.id)} opens onto the plate, which closes it: raise the part, or put the vent into a side.`;
  }
  return !isSamePlace(limb.start.at, cup.at)
    ? 'Give it a vent of its own on the plate side of where it starts.'
    : 'Put a vent on the plate side of where it starts.';
}

const isSamePlace = (a: CupLoad['at'], b: CupLoad['at']): boolean =>
  a.every((value, axis) => value === b[axis]);

/** A limb of an open cup whose suction, once above the limit, stays there for too long. */
export function breathesLate({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { limits, machine } = manifest;
  const late = facts.loads.cups
    .filter(({ peakAreaMm2 }) => peakAreaMm2 >= limits.leastCup)
    .flatMap((cup) => {
      const sealed = cup.sealedLimbs.filter(isSealed(limits));
      return cup.stretches
        .filter(({ start }) => !sealed.some((limb) => isSamePlace(limb.start.at, start.at)))
        .map((stretch) => ({ cup, stretch }));
    })
    .filter(({ stretch }) => stretch.layers > limits.breatheLayers);
  return tellLargest(
    late,
    ({ stretch }) => stretch.peakPullN,
    ({ cup, stretch }) => {
      const { start, passesLayer, layers, peakPullN, peakPullLayer } = stretch;
      const what = isSamePlace(start.at, cup.at) ? 'The cup' : 'A limb of a cup';
      const from = passesLayer === start.layer ? '' : ` from ${layerPlace(passesLayer, machine.layer)} on`;
      const [pull, limit] = figuresApart(peakPullN, limits.suction, 'N');
      return {
        code: 'breathes-late',
        part: part.name,
        ...(isSqueezed(stretch, limits.breatheLayers) ? atPart(part) : cupPlace(stretch, part)),
        message: `${what} of ${part.name} that starts in ${layerPlace(start.layer, machine.layer)} pulls with up to ${pull} (${layerPlace(peakPullLayer, machine.layer)}${stretch.liftStage === 2 ? ', in the second stage of the lift' : ''}) and stays above ${limit} for ${plural(layers, 'layer')}${from}, more than ${limits.breatheLayers}. ${lateAdvice(stretch, limits.breatheLayers, facts)}`,
        layer: start.layer,
        at: start.at,
        measured: layers,
        limit: limits.breatheLayers,
        unit: 'layers',
        remedies: lateRemedies(cup, stretch, limits.breatheLayers, facts),
      };
    },
  );
}

/** Whether the squeeze between the hollow's floor and the film alone is late, so that no opening helps. */
function isSqueezed({ squeezeFreeLayer, passesLayer }: LimbStretch, breatheLayers: number): boolean {
  return squeezeFreeLayer - passesLayer > breatheLayers;
}

/** A wider opening where that one is too narrow; else the proposal, where it is too far too. None where the pose is the cause. */
function lateRemedies(
  { chamber }: CupLoad,
  stretch: LimbStretch,
  breatheLayers: number,
  { openings }: PartContext['facts'],
): Remedy[] {
  const { breather, ventMm } = stretch;
  if (chamber === null || isSqueezed(stretch, breatheLayers)) return [];
  const own = openings.find(({ decision }) => decision.id === breather);
  const wider = ventMm === null ? null : Math.ceil(2 * ventMm) / 2;
  const isFar = stretch.squeezePullN > stretch.openingsPullN;
  if (isFar || own === undefined || wider === null || own.decision.diameter >= wider) {
    return [{ kind: 'propose' }];
  }
  return [{ kind: 'diameter', value: wider, opening: own.decision.id }, { kind: 'propose' }];
}

function lateAdvice(stretch: LimbStretch, breatheLayers: number, { openings }: PartContext['facts']): string {
  const { ventMm } = stretch;
  if (isSqueezed(stretch, breatheLayers)) {
    return `The cause is its flat, shallow start: the resin squeezed between it and the film pulls with ${figure(stretch.squeezePullN, 'N')} by itself, and no vent helps there; tilt the part, or dome the floor of the hollow.`;
  }
  if (stretch.squeezePullN > stretch.openingsPullN) {
    return `The resin comes too slowly from its openings to the far parts of its floor: squeezed between floor and film it pulls with ${figure(stretch.squeezePullN, 'N')} by itself. Put another vent where the floor is farthest from the openings; a tilted pose or a domed floor helps too.`;
  }
  const size = ventMm === null ? '' : ` one of ${figure(ventMm, 'mm')} at its start would do;`;
  if (stretch.necksPullN > stretch.openingsPullN / 2) {
    return `Most of it, ${figure(stretch.necksPullN, 'N')}, is lost in a narrow neck of the hollow on the way to its openings:${size} give the side beyond the neck a vent of its own.`;
  }
  const breather = openings.find(({ decision }) => decision.id === stretch.breather);
  const isWide = breather !== undefined && breather.decision.diameter >= (ventMm ?? Infinity);
  const wider =
    breather === undefined ? 'open it wider' : `make the ${openingName(breather.decision.id)} wider`;
  const remedy = isWide
    ? `the ${openingName(breather.decision.id)} is wide enough but not yet printed there: put it nearer to where the cup starts, best on its plate side.`
    : `${wider}, or put a vent nearer to where the cup starts.`;
  return `Its openings pull with ${figure(stretch.openingsPullN, 'N')} by themselves:${size} ${remedy}`;
}

function cupPlace(
  { breather }: Pick<CupLoad, 'breather'>,
  part: PartContext['part'],
): { readonly path: ManifestPath; readonly atKey?: true; readonly opening?: string } {
  if (breather !== null && breather !== 'mesh') {
    return { path: openingPath(part.name, breather), opening: breather };
  }
  return { path: ['parts', part.name], atKey: true };
}

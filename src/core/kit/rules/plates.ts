import type { PlateFacts } from '../../plates/plateFacts.ts';
import type { FindingDraft } from '../finding.ts';
import type { Manifest, ManifestPath, Plate } from '../manifest.ts';
import { plateRoom } from '../plateRoom.ts';
import { capital, figure, figuresApart, layerPlace } from './figures.ts';
import { platedParts } from './plateParts.ts';
import type { KitContext } from './ruleContext.ts';

/** Everything that the parts of a plate together tell, at the plate's entry. */
export function plateRules({ manifest, plates }: KitContext): FindingDraft[] {
  return manifest.plates.flatMap((plate) => {
    const facts = plates.get(plate.name);
    return facts === undefined ? [] : judgePlate(manifest, plate, facts);
  });
}

export function judgePlate(manifest: Manifest, plate: Plate, facts: PlateFacts): FindingDraft[] {
  return rules.flatMap((rule) => rule({ manifest, plate, facts, parts: platedParts(manifest, plate) }));
}

interface PlateContext {
  readonly manifest: Manifest;
  readonly plate: Plate;
  readonly facts: PlateFacts;
  /** Those that the facts count. */
  readonly parts: Plate['parts'];
}

const rules = [overfull, overlap, outside, pullHigh, vatLow];

const at = ({ name }: Plate): { part: null; path: ManifestPath; atKey: true } => ({
  part: null,
  path: ['plates', name],
  atKey: true,
});

const entry = ({ name }: Plate, index: number): { part: null; path: ManifestPath } => ({
  part: null,
  path: ['plates', name, 'parts', index],
});

function overfull({ manifest, plate, facts, parts }: PlateContext): FindingDraft[] {
  const left = parts.filter((_, part) => facts.layout.places[part] === null).map(({ part }) => part);
  if (left.length === 0) return [];
  const [width, depth] = plateRoom(manifest.machine).map((side) => figure(side, 'mm'));
  return [
    {
      code: 'plate-overfull',
      ...at(plate),
      message: `The plate ${plate.name} has no room for ${left.join(', ')}: ${width} × ${depth} inside the margin, ${figure(plate.gap, 'mm')} between parts. Move ${left.length === 1 ? 'it' : 'them'} to another plate.`,
      measured: parts.length - left.length,
      limit: parts.length,
      unit: 'parts',
    },
  ];
}

function overlap({ plate, facts, parts }: PlateContext): FindingDraft[] {
  return facts.layout.tooNear.map(({ first, second, gapMm }) => {
    const [one, other] = [parts[first]!.part, parts[second]!.part];
    const [gap, limit] = figuresApart(gapMm, plate.gap, 'mm');
    const how =
      gapMm === 0
        ? `${other} lies over ${one}`
        : `${other} stands ${gap} from ${one}, nearer than ${limit} (gap)`;
    return {
      code: 'plate-overlap',
      ...entry(plate, parts[second]!.index),
      message: `${how} on the plate ${plate.name}. Move one of them, or take \`at\` out and let it be arranged.`,
      measured: gapMm,
      limit: plate.gap,
      unit: 'mm',
    };
  });
}

function outside({ manifest, plate, facts, parts }: PlateContext): FindingDraft[] {
  return facts.layout.outside.map(({ part, beyondMm, move }) => {
    const { part: name, index, at: stands } = parts[part]!;
    const to = move === null ? null : stands!.map((along, axis) => inward(along, move[axis]!));
    const advice =
      to === null
        ? 'Turn it, or print it on another plate.'
        : `With \`at: [${to.join(', ')}]\` it stands inside.`;
    return {
      code: 'plate-outside',
      ...entry(plate, index),
      message: `${name} stands ${figure(beyondMm, 'mm')} beyond the margin (${figure(manifest.machine.margin, 'mm')}) of the plate ${plate.name}. ${advice}`,
      measured: beyondMm,
      limit: 0,
      unit: 'mm',
    };
  });
}

/** To hundredths, away from the edge. */
function inward(along: number, move: number): number {
  const round = move < 0 ? Math.floor : Math.ceil;
  const to = move === 0 ? along : round((along + move) * 100 + (move < 0 ? 1e-6 : -1e-6)) / 100;
  return to + 0;
}

/** What one part alone does is told at the part. */
function pullHigh({ manifest, plate, facts, parts }: PlateContext): FindingDraft[] {
  const { peakPullN, peakPullLayer, strongest } = facts.loads;
  const limit = manifest.limits.pull;
  if (parts.length < 2 || !(peakPullN > limit)) return [];
  const [pull, most] = figuresApart(peakPullN, limit, 'N');
  return [
    {
      code: 'plate-pull-high',
      ...at(plate),
      message: `${capital(layerPlace(peakPullLayer, manifest.machine.layer))} of the plate ${plate.name} pulls with up to ${pull}, above ${most}: all its parts together, ${figure(strongest.pullN, 'N')} of it ${parts[strongest.part]!.part}. Move a part to another plate, or raise one so that they do not pull most in the same layer.`,
      layer: peakPullLayer,
      measured: peakPullN,
      limit,
      unit: 'N',
    },
  ];
}

function vatLow({ manifest, plate, facts, parts }: PlateContext): FindingDraft[] {
  const { vatLowLayer, liquidMm3, heldMm3 } = facts.loads;
  if (parts.length < 2 || vatLowLayer === null) return [];
  const { vat, leastResinDepth, resinDepth, layer } = manifest.machine;
  const needed = (liquidMm3 + heldMm3) / 1000;
  return [
    {
      code: 'vat-runs-low',
      ...at(plate),
      message: `A vat of ${figure(vat, 'ml')} filled once falls under ${figure(leastResinDepth, 'mm')} of resin in ${layerPlace(vatLowLayer, layer)} of the plate ${plate.name}, whose parts take ${figure(needed, 'ml')} (liquid, held resin included); refill before that layer.`,
      layer: vatLowLayer,
      measured: needed,
      limit: vat * (1 - leastResinDepth / resinDepth),
      unit: 'ml',
    },
  ];
}

import type { Ceiling } from '../../layers/layerFigures.ts';
import { norm, subtract, type Vec3 } from '../../vector.ts';
import type { FindingDraft } from '../finding.ts';
import type { Limits } from '../manifest.ts';
import { openingPath } from '../openingPath.ts';
import { figure, layerPlace, plural } from './figures.ts';
import { tellLargest } from './mostTold.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** A raised part's first regions hang on nothing until it has supports: one warning for them all. */
export function needsSupports({ part, facts, manifest }: PartContext): FindingDraft[] {
  const first = firstSolidLayer(facts);
  if (part.raise <= 0 || first < 0 || facts.supports !== null) return [];
  const { island } = manifest.limits;
  const starts = facts.layers.islands.filter(({ layer, areaMm2 }) => layer === first && areaMm2 >= island);
  const area = facts.layers.area[first]!;
  const largest = starts.length > 0 ? starts.reduce((a, b) => (b.areaMm2 > a.areaMm2 ? b : a)) : null;
  return [
    {
      code: 'needs-supports',
      ...atPart(part),
      message: `${part.name} is raised by ${figure(part.raise, 'mm')} and starts in ${layerPlace(first, facts.layers.layerHeight)} with ${figure(area, 'mm²')}${starts.length > 1 ? ` in ${plural(starts.length, 'region')}` : ''}; hold it with supports in the slicer.`,
      layer: first,
      ...(largest !== null && { at: largest.at }),
      measured: area,
      limit: 0,
      unit: 'mm²',
    },
  ];
}

/** Openings that take all of the first layer of a part that stands on the plate. */
export function contactCut({ part, facts }: PartContext): FindingDraft[] {
  const before = facts.layers.area[0] ?? 0;
  const left = facts.loads.areaMm2[0] ?? 0;
  if (before <= 0 || left > ROUNDING * before) return [];
  const height = facts.layers.layerHeight;
  const cutting = facts.openings.find(({ placed }) => placed !== null && placed.mouth[2] < height);
  return [
    {
      code: 'contact-cut',
      ...(cutting === undefined
        ? atPart(part)
        : {
            part: part.name,
            path: openingPath(part.name, cutting.decision.id),
            opening: cutting.decision.id,
            at: cutting.placed!.mouth,
            remedies: [{ kind: 'find-place' as const }, { kind: 'propose' as const }],
          }),
      message: `${part.name} stands on the plate with ${figure(before, 'mm²')} and its openings cut all of that away; raise it and support it, move the opening, or turn the part so that it stands on more.`,
      layer: 0,
      measured: left,
      limit: before,
      unit: 'mm²',
    },
  ];
}

/** What is left of a layer cut away wholly, as a share of it, by rounding alone. */
const ROUNDING = 1e-6;

export function startsInAir({ part, facts, manifest }: PartContext): FindingDraft[] {
  // What the planned supports do not reach is told by itself.
  if (facts.supports !== null) return [];
  const first = firstSolidLayer(facts);
  const least = manifest.limits.island;
  const islands = facts.layers.islands.filter(
    ({ layer, areaMm2 }) => layer > 0 && layer !== first && areaMm2 >= least,
  );
  return tellLargest(
    islands,
    ({ areaMm2 }) => areaMm2,
    ({ layer, areaMm2, at, inside }) => ({
      code: 'starts-in-air',
      ...atPart(part),
      message: `${figure(areaMm2, 'mm²')} of ${part.name} start in air in ${layerPlace(layer, facts.layers.layerHeight)}${inside ? ', inside the hollow where no support reaches it from the plate; turn the part, or fill the place' : '; turn the part, or hold it with a support'}.`,
      layer,
      at,
      measured: areaMm2,
      limit: least,
      unit: 'mm²',
    }),
  );
}

function firstSolidLayer(facts: PartContext['facts']): number {
  return facts.layers.area.findIndex((area) => area > 0);
}

/** Whether a planned support stands under a place, as near to it as tips stand to each other. */
function isHeld(at: Vec3, { supports }: Pick<PartContext['facts'], 'supports'>): boolean {
  if (supports === null) return false;
  const near = 1.5 * supports.spacingMm;
  return supports.supports.some(({ contact }) => norm(subtract(contact.at, at)) <= near);
}

/** Ceilings over both limits that no planned support holds. */
export const unheldCeilings = (
  facts: Pick<PartContext['facts'], 'layers' | 'supports'>,
  { ceiling, ceilingSpan }: Pick<Limits, 'ceiling' | 'ceilingSpan'>,
): readonly Ceiling[] =>
  facts.layers.ceilings.filter(
    ({ areaMm2, spanMm, at }) => areaMm2 > ceiling && spanMm > ceilingSpan && !isHeld(at, facts),
  );

export function largeCeiling({ part, facts, manifest }: PartContext): FindingDraft[] {
  const { ceiling } = manifest.limits;
  return tellLargest(
    unheldCeilings(facts, manifest.limits),
    ({ areaMm2 }) => areaMm2,
    ({ layer, areaMm2, spanMm, at, inside }) => ({
      code: 'large-ceiling',
      ...atPart(part),
      message: `${figure(areaMm2, 'mm²')} of ${part.name} close over void at once in ${layerPlace(layer, facts.layers.layerHeight)}, with a free span of up to ${figure(spanMm, 'mm')}${inside ? ' inside the hollow' : ''}; tilt the part so that it closes little by little${inside ? '' : ', or hold it with supports'}.`,
      layer,
      at,
      measured: areaMm2,
      limit: ceiling,
      unit: 'mm²',
    }),
  );
}

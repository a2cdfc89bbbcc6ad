import type { FindingDraft } from '../finding.ts';
import { openingPath } from '../openingPath.ts';
import type { ChamberReach } from '../partFacts.ts';
import { figure, figuresApart, openingName } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

export function chamberWithoutOpening({ part, facts }: PartContext): FindingDraft[] {
  return facts.hollow.chambers.flatMap((chamber, index): FindingDraft[] => {
    if (openingsOf(facts, index).length > 0) return [];
    return [
      {
        code: 'chamber-without-opening',
        ...atPart(part),
        message: `A chamber of ${figure(chamber.volumeMm3 / 1000, 'ml')} in ${part.name} has no opening; give it a vent at the plate end and a drain at the film end.`,
        at: chamber.centroid,
        measured: 0,
        limit: 2,
        unit: 'openings',
        remedies: [{ kind: 'propose' }, { kind: 'solid' }],
      },
    ];
  });
}

/** One opening only, or several so near to one height that air and resin meet in them. */
export function singleOpening({ part, facts }: PartContext): FindingDraft[] {
  return facts.hollow.chambers.flatMap((chamber, index): FindingDraft[] => {
    const [id, ...others] = openingsOf(facts, index);
    if (id === undefined) return [];
    const draft = {
      code: 'single-opening' as const,
      part: part.name,
      path: openingPath(part.name, id),
      opening: id,
      at: chamber.centroid,
      remedies: [{ kind: 'propose' as const }],
    };
    const volume = figure(chamber.volumeMm3 / 1000, 'ml');
    if (others.length === 0) {
      return [
        {
          ...draft,
          message: `The ${openingName(id)} is the only opening of a chamber of ${volume}; without a second one, air cannot get in as the resin runs out.`,
          measured: 1,
          limit: 2,
          unit: 'openings',
        },
      ];
    }
    const level = levelOpenings(facts, [id, ...others], chamber);
    if (level === null) return [];
    const [apart, diameter] = figuresApart(level.apartMm, level.diameter, 'mm');
    return [
      {
        ...draft,
        message: `All ${others.length + 1} openings of a chamber of ${volume} lie within ${apart} of one height, less than a diameter of ${diameter}; give it one at its ${level.lacks} end, so that air comes in as the resin runs out.`,
        measured: level.apartMm,
        limit: level.diameter,
        unit: 'mm',
      },
    ];
  });
}

/**
 * Openings that lie within one diameter (the widest's) of one height, and the end of the chamber that
 * lacks one. Null when they do not, or when the chamber is no higher than two diameters, so that it
 * has no two ends. Common practice, no source; the two diameters are an engineering choice.
 */
function levelOpenings(
  { openings }: PartContext['facts'],
  ids: readonly string[],
  { bottom, top }: ChamberReach,
): { readonly apartMm: number; readonly diameter: number; readonly lacks: 'plate' | 'film' } | null {
  const placed = openings.flatMap((opening) =>
    opening.placed !== null && ids.includes(opening.placed.id) ? [opening.placed] : [],
  );
  const heights = placed.map(({ mouth }) => mouth[2]);
  const diameter = 2 * Math.max(...placed.map(({ radius }) => radius));
  const [lowest, highest] = [Math.min(...heights), Math.max(...heights)];
  if (!(highest - lowest < diameter) || top - bottom <= 2 * diameter) return null;
  const lacks = (lowest + highest) / 2 > (bottom + top) / 2 ? 'plate' : 'film';
  return { apartMm: highest - lowest, diameter, lacks };
}

export function resinTrapped({ manifest, part, facts }: PartContext): FindingDraft[] {
  const limit = manifest.limits.trapped;
  return facts.hollow.chambers.flatMap((chamber, index): FindingDraft[] => {
    const ml = (facts.loads.trappedMm3[index] ?? 0) / 1000;
    if (ml <= limit || openingsOf(facts, index).length === 0) return [];
    return [
      {
        code: 'resin-trapped',
        ...atPart(part),
        message: `${figure(ml, 'ml')} of resin stay in a chamber of ${part.name} as it hangs from the plate; turn it to pour it out, or add a drain at its film end.`,
        at: chamber.centroid,
        measured: ml,
        limit,
        unit: 'ml',
        remedies: [{ kind: 'propose' }],
      },
    ];
  });
}

function openingsOf(facts: PartContext['facts'], chamber: number): readonly string[] {
  return facts.loads.chamberOpenings[chamber] ?? [];
}

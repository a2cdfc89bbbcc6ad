import type { FindingDraft } from '../finding.ts';
import { figure, openingName } from './figures.ts';
import { atPart, openingPath, type PartContext } from './ruleContext.ts';

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
      },
    ];
  });
}

export function singleOpening({ part, facts }: PartContext): FindingDraft[] {
  return facts.hollow.chambers.flatMap((chamber, index): FindingDraft[] => {
    const [id, ...others] = openingsOf(facts, index);
    if (id === undefined || others.length > 0) return [];
    return [
      {
        code: 'single-opening',
        part: part.name,
        path: openingPath(part, id),
        opening: id,
        message: `The ${openingName(id)} is the only opening of a chamber of ${figure(chamber.volumeMm3 / 1000, 'ml')}; without a second one, air cannot get in as the resin runs out.`,
        at: chamber.centroid,
        measured: 1,
        limit: 2,
        unit: 'openings',
      },
    ];
  });
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
      },
    ];
  });
}

function openingsOf(facts: PartContext['facts'], chamber: number): readonly string[] {
  return facts.loads.chamberOpenings[chamber] ?? [];
}

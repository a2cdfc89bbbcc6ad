import type { OpeningFacts } from '../../openings/opening.ts';
import type { FindingDraft } from '../finding.ts';
import { figure, openingName } from './figures.ts';
import { openingPath, type PartContext } from './ruleContext.ts';

/** `at` snaps to the surface within this distance, print mm. */
export const snapMm = 2;

export function openingOffSurface({ part, facts }: PartContext): FindingDraft[] {
  return facts.openings
    .filter(({ placed }) => placed === null)
    .map(({ decision, surfaceDistanceMm }) => ({
      code: 'opening-off-surface',
      part: part.name,
      path: openingPath(part, decision.id, 'at'),
      opening: decision.id,
      message: `The ${openingName(decision.id)} lies ${figure(surfaceDistanceMm, 'mm')} (print) from the surface of ${part.name}, more than ${figure(snapMm, 'mm')}, so it is not cut; at takes the STL’s own coordinates.`,
      measured: surfaceDistanceMm,
      limit: snapMm,
      unit: 'mm',
    }));
}

export function openingMissesChamber({ part, facts }: PartContext): FindingDraft[] {
  return facts.openings.flatMap((opening): FindingDraft[] => {
    const { decision, placed, chamber, chamberDepthMm } = opening;
    if (placed === null || chamber !== null || endsBlindOnPurpose(opening)) return [];
    const name = `The ${openingName(decision.id)}`;
    const place = {
      code: 'opening-misses-chamber' as const,
      part: part.name,
      opening: decision.id,
      at: placed.mouth,
      measured: placed.depth,
      unit: 'mm',
    };
    if (facts.hollow.chambers.length === 0) {
      const message = `${name} reaches no chamber: ${part.name} is solid here. Remove it, or give the part a wall that leaves a hollow.`;
      return [{ ...place, path: openingPath(part, decision.id), message }];
    }
    if (chamberDepthMm === null) {
      const message = `${name} points at no chamber; move it, or set toward (a direction in source axes into the part).`;
      return [{ ...place, path: openingPath(part, decision.id), message }];
    }
    return [
      {
        ...place,
        path: openingPath(part, decision.id, 'depth'),
        message: `${name} is ${figure(placed.depth, 'mm')} deep, but its chamber starts at ${figure(chamberDepthMm, 'mm')}; drill ${figure(chamberDepthMm - placed.depth, 'mm')} deeper and a little more.`,
        limit: chamberDepthMm,
      },
    ];
  });
}

/** A bore for a wire may end in solid where the builder says how deep it goes. */
function endsBlindOnPurpose({ decision }: OpeningFacts): boolean {
  return decision.kind === 'tube' && decision.depth !== undefined;
}

/** A bore for a wire may go right through; a vent or a drain may not. */
export function openingThrough({ part, facts }: PartContext): FindingDraft[] {
  return facts.openings.flatMap(({ decision, placed, farWallDepthMm, farSideDepthMm }): FindingDraft[] => {
    if (placed === null || decision.kind === 'tube') return [];
    const through = farSideDepthMm !== null && placed.depth > farSideDepthMm;
    const limit = through ? farSideDepthMm : farWallDepthMm;
    if (limit === null || placed.depth <= limit) return [];
    const what = through ? 'goes through the far side' : 'bites into the far wall of its chamber';
    return [
      {
        code: 'opening-through',
        part: part.name,
        path: openingPath(part, decision.id, 'depth'),
        opening: decision.id,
        message: `The ${openingName(decision.id)} of ${figure(placed.depth, 'mm')} depth ${what}, which ${through ? 'ends' : 'starts'} ${figure(limit, 'mm')} behind its mouth; drill ${figure(placed.depth - limit, 'mm')} less and a little more.`,
        at: placed.mouth,
        measured: placed.depth,
        limit,
        unit: 'mm',
      },
    ];
  });
}

export function openingNearWall({ part, facts }: PartContext): FindingDraft[] {
  return facts.openings.flatMap(({ decision, placed, sideClearanceMm }): FindingDraft[] => {
    if (placed === null || sideClearanceMm === null || sideClearanceMm >= placed.radius) return [];
    return [
      {
        code: 'opening-near-wall',
        part: part.name,
        path: openingPath(part, decision.id, 'at'),
        opening: decision.id,
        message: `The axis of the ${openingName(decision.id)} runs ${figure(sideClearanceMm, 'mm')} from a side wall of its chamber, closer than its radius of ${figure(placed.radius, 'mm')}; move it ${figure(placed.radius - sideClearanceMm, 'mm')} inward, or make it smaller.`,
        at: placed.mouth,
        measured: sideClearanceMm,
        limit: placed.radius,
        unit: 'mm',
      },
    ];
  });
}

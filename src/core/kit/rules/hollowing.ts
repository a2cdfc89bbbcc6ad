import type { FindingDraft } from '../finding.ts';
import { figure, plural } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

export function tooThinToHollow({ part, facts }: PartContext): FindingDraft[] {
  const { chambers, deepestMm, leftSolid } = facts.hollow;
  if (part.wall === null || chambers.length > 0 || leftSolid.length > 0) return [];
  const depth =
    deepestMm === null ? '' : `: its deepest point lies ${figure(deepestMm, 'mm')} under the surface`;
  return [
    {
      code: 'too-thin-to-hollow',
      part: part.name,
      path: ['parts', part.name, 'wall'],
      message: `${part.name} is too thin to be hollow with a wall of ${figure(part.wall, 'mm')}${depth}. It stays solid; say so with wall: solid.`,
      ...(deepestMm !== null && { measured: deepestMm }),
      limit: part.wall,
      unit: 'mm',
    },
  ];
}

export function chamberLeftSolid({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { leftSolid } = facts.hollow;
  if (leftSolid.length === 0) return [];
  const largest = leftSolid.reduce((a, b) => (b.volumeMm3 > a.volumeMm3 ? b : a));
  const least = manifest.limits.leastChamber;
  return [
    {
      code: 'chamber-left-solid',
      ...atPart(part),
      message: `${plural(leftSolid.length, 'hollow')} of ${part.name} under ${figure(least, 'ml')} stay solid, the largest ${figure(largest.volumeMm3 / 1000, 'ml')}.`,
      at: largest.centroid,
      measured: largest.volumeMm3 / 1000,
      limit: least,
      unit: 'ml',
    },
  ];
}

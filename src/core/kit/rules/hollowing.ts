import type { FindingDraft } from '../finding.ts';
import type { ChamberFacts } from '../partFacts.ts';
import { figure, plural } from './figures.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** Of the hollows left solid, those within a tenth of a chamber's least size: the rest are specks in thick corners. */
function worthTelling(
  { hollow }: PartContext['facts'],
  { limits }: PartContext['manifest'],
): readonly ChamberFacts[] {
  return hollow.leftSolid.filter(({ volumeMm3 }) => volumeMm3 >= 0.1 * limits.leastChamber * 1000);
}

export function tooThinToHollow({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { chambers, deepestMm } = facts.hollow;
  if (part.wall === null || chambers.length > 0 || worthTelling(facts, manifest).length > 0) return [];
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
  const leftSolid = worthTelling(facts, manifest);
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

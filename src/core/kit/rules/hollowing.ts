import { WALL_SHORT_MM } from '../../field/wallShortMm.ts';
import type { FindingDraft, Remedy } from '../finding.ts';
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
  const hollowable = deepestMm !== null && deepestMm > part.wall;
  if (hollowable && facts.hollow.kept.some(({ volumeMm3 }) => volumeMm3 > 0)) return [keptWhole(part)];
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
      remedies: [{ kind: 'solid' }, ...wallRemedy({ manifest, part, facts })],
    },
  ];
}

/** A thinner wall, where one that prints is thinner than the part is deep. */
function wallRemedy({ manifest, part, facts }: PartContext): Remedy[] {
  const least = manifest.limits.leastWall + WALL_SHORT_MM;
  const isDeeper = (facts.hollow.deepestMm ?? Infinity) > least;
  return part.wall !== null && part.wall > least && isDeeper ? [{ kind: 'find-wall' }] : [];
}

function keptWhole(part: PartContext['part']): FindingDraft {
  return {
    code: 'too-thin-to-hollow',
    part: part.name,
    path: ['parts', part.name, 'keep-solid'],
    message: `What keep-solid keeps of ${part.name} leaves nothing to hollow. Make the regions smaller, or say wall: solid.`,
    remedies: [{ kind: 'solid' }],
  };
}

/** A region that keeps less than this does nothing: a slip in `at`, most likely. Engineering choice, mm³. */
const idleMm3 = 1;

export function keepSolidIdle({ part, facts }: PartContext): FindingDraft[] {
  if (part.wall === null) return [];
  return facts.hollow.kept
    .filter(({ volumeMm3 }) => volumeMm3 < idleMm3)
    .map(({ index, centroid, volumeMm3 }) => ({
      code: 'keep-solid-idle',
      part: part.name,
      path: ['parts', part.name, 'keep-solid', index],
      message: `keep-solid ${index} of ${part.name} keeps nothing solid: no hollow comes near it. Its \`at\` is in the STL’s own coordinates, its size in print mm.`,
      at: centroid,
      measured: volumeMm3,
      limit: idleMm3,
      unit: 'mm³',
    }));
}

export function chamberLeftSolid(context: PartContext): FindingDraft[] {
  const { manifest, part, facts } = context;
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
      // Beside a chamber they are what it leaves; without one the part is as good as solid.
      remedies: facts.hollow.chambers.length > 0 ? [] : [...wallRemedy(context), { kind: 'solid' }],
    },
  ];
}

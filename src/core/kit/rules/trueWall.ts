import { WALL_SHORT_MM } from '../../field/wallShortMm.ts';
import type { ThinPatch } from '../../walls/thinPatch.ts';
import type { FindingDraft } from '../finding.ts';
import type { FindingCode } from '../findingTable.ts';
import { roundTo } from '../rounding.ts';
import { figure, figuresApart, plural } from './figures.ts';
import { tellLargest } from './mostTold.ts';
import { atPart, type PartContext } from './ruleContext.ts';

/** Tips and edges of a sculpt are thin over less than this; it is told as a sheet from here on. Engineering choice, mm². */
const leastSheetMm2 = 10;
/** Smaller loose pieces are the raggedness of the field. Engineering choice, mm³. */
const leastLooseMm3 = 1;

export function wallThin(context: PartContext): FindingDraft[] {
  return [...thinHollow(context), ...thinSheet(context)];
}

/** Round the hollow, where the wall asked for is itself too thin, or came out so. */
function thinHollow({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { thinnest } = facts.hollow;
  const limit = manifest.limits.leastWall;
  if (thinnest === null || thinnest.wallMm >= limit) return [];
  const [wall, least] = figuresApart(thinnest.wallMm, limit, 'mm');
  return [
    {
      code: 'wall-thin',
      part: part.name,
      path: ['parts', part.name, 'wall'],
      message: `The wall round the hollow of ${part.name} comes down to ${wall}, under ${least}. Make it thicker.`,
      at: thinnest.at,
      measured: thinnest.wallMm,
      limit,
      unit: 'mm',
      // A wall of the limit itself may come out a little under it again.
      remedies: [{ kind: 'wall', value: roundTo(limit + WALL_SHORT_MM, 2) }],
    },
  ];
}

function thinSheet({ manifest, part, facts }: PartContext): FindingDraft[] {
  const sheets = facts.trueWall.sheets.filter(({ areaMm2 }) => areaMm2 >= leastSheetMm2);
  const what = (count: number): string => (count === 1 ? 'A sheet' : `${count} sheets`);
  return largestOf('wall-thin', sheets, manifest.limits.leastWall, part, (thin, areaMm2) => {
    return `${what(sheets.length)} of the sculpt of ${part.name} over ${figure(areaMm2, 'mm²')} ${sheets.length === 1 ? 'is' : 'are'} as thin as ${thin}: it tears or curls. Thicken it in the sculpt, or print it larger.`;
  });
}

export function thinWeb({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { webs } = facts.trueWall;
  return largestOf('thin-web', webs, manifest.limits.leastWall, part, (thin, areaMm2) => {
    const count = plural(webs.length, 'web');
    return `${count} of solid in the hollow of ${part.name} over ${figure(areaMm2, 'mm²')}, as thin as ${thin}, ${webs.length === 1 ? 'parts' : 'part'} what is hollow on both sides: it may tear and let resin through. Make the wall a little thinner so that they join, or keep the place solid with keep-solid.`;
  });
}

export function spikeInside({ manifest, part, facts }: PartContext): FindingDraft[] {
  const { spikes } = facts.trueWall;
  return largestOf('spike-inside', spikes, manifest.limits.leastWall, part, (thin) => {
    const [what, reaches] =
      spikes.length === 1
        ? ['A thin fin or needle', 'reaches']
        : [`${spikes.length} fins or needles`, 'reach'];
    return `${what} of solid, as thin as ${thin}, ${reaches} into the hollow of ${part.name} with a free end: it may break off and lie in the vat. Make the region of keep-solid it belongs to thicker, or change the wall a little.`;
  });
}

/** One finding at the largest of the patches, with the thinnest figure of all and their area together. */
function largestOf(
  code: FindingCode,
  patches: readonly ThinPatch[],
  limit: number,
  part: PartContext['part'],
  message: (thin: string, areaMm2: number) => string,
): FindingDraft[] {
  const largest = patches[0];
  if (largest === undefined) return [];
  const thinnest = Math.min(...patches.map(({ thicknessMm }) => thicknessMm));
  const areaMm2 = patches.reduce((sum, patch) => sum + patch.areaMm2, 0);
  const [thin, least] = figuresApart(thinnest, limit, 'mm');
  return [
    {
      code,
      ...atPart(part),
      message: message(`${thin} (under ${least})`, areaMm2),
      at: largest.at,
      measured: thinnest,
      limit,
      unit: 'mm',
    },
  ];
}

export function lumpSolid({ manifest, part, facts }: PartContext): FindingDraft[] {
  const limit = manifest.limits.lump;
  const lumps = facts.hollow.lumps.filter(({ thicknessMm }) => thicknessMm > limit);
  const thickest = lumps[0];
  if (thickest === undefined) return [];
  const more = lumps.length === 1 ? '' : ` There are ${lumps.length} such lumps.`;
  return [
    {
      code: 'lump-solid',
      ...atPart(part),
      message: `${part.name} has a lump of solid ${figure(thickest.thicknessMm, 'mm')} thick where a hollow of ${figure(thickest.volumeMm3 / 1000, 'ml')} was left solid: it shrinks more than the walls round it. Lower limits.least-chamber to hollow it, or keep it and drop this.${more}`,
      at: thickest.at,
      measured: thickest.thicknessMm,
      limit,
      unit: 'mm',
      remedies: [{ kind: 'find-wall' }],
    },
  ];
}

export function looseInside({ part, facts }: PartContext): FindingDraft[] {
  const pieces = facts.trueWall.loose.filter(({ volumeMm3 }) => volumeMm3 >= leastLooseMm3);
  return tellLargest(
    pieces,
    ({ volumeMm3 }) => volumeMm3,
    ({ volumeMm3, at }) => ({
      code: 'loose-inside',
      ...atPart(part),
      message: `A piece of ${figure(volumeMm3 / 1000, 'ml')} lies loose in the hollow of ${part.name}: nothing holds it, so it starts in mid-air and falls on the film. Join it to the wall with a keep-solid region, or take the void or region that it comes from out.`,
      at,
      measured: volumeMm3,
      limit: leastLooseMm3,
      unit: 'mm³',
    }),
  );
}

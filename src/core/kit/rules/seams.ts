import type { RefusedKey, Seam } from '../../cut/seam.ts';
import type { FindingDraft } from '../finding.ts';
import type { Part } from '../manifest.ts';
import { shorten } from '../manifestPath.ts';
import { partCuts } from '../partCuts.ts';
import { figure, plural } from './figures.ts';
import type { PartContext } from './ruleContext.ts';

interface NamedSeam {
  readonly name: string;
  readonly seam: Seam;
  /** In `partCuts`. */
  readonly index: number;
}

function seamsOf({ part, facts }: PartContext): NamedSeam[] {
  const made = partCuts(part);
  return facts.mesh.seams.flatMap((seam, index) => {
    const cut = made[index];
    return cut === undefined ? [] : [{ name: cut.name, seam, index }];
  });
}

export function cutMisses(context: PartContext): FindingDraft[] {
  const { part } = context;
  return seamsOf(context)
    .filter(({ seam }) => seam.misses)
    .map(({ name }) => ({
      code: 'cut-misses',
      part: part.name,
      path: ['parts', part.name, 'cut', name],
      atKey: true,
      message: `The plane of ${shorten(name)} does not pass through ${part.name}, so it is taken whole. Move the cut's at, or take the cut away.`,
    }));
}

/** The keys of a cut are the same on both halves: told at the first part that it leaves of those that are checked. */
export function keyWithoutRoom(context: PartContext): FindingDraft[] {
  const { manifest, part, checked = manifest.parts } = context;
  return seamsOf(context)
    .filter(({ index }) => !isToldBefore(checked, part, index))
    .flatMap(({ name, seam }) => seam.refused.map((key) => withoutRoom(part, name, key)));
}

function isToldBefore(checked: readonly Part[], part: Part, index: number): boolean {
  const trail = (of: Part): string => {
    const made = partCuts(of);
    const before = made.slice(0, index).map(({ name, side }) => [name, side]);
    return JSON.stringify([of.file, before, made[index]?.name ?? null]);
  };
  const own = trail(part);
  const first = checked.find((other) => trail(other) === own);
  return first !== undefined && first.name !== part.name;
}

function withoutRoom(part: Part, cut: string, key: RefusedKey): FindingDraft {
  const { index, at, diameterMm, fitsMm } = key;
  return {
    code: 'key-without-room',
    part: part.name,
    path: index === null ? ['cuts', cut, 'keys'] : ['cuts', cut, 'keys', index],
    message: `${whatHasNone(cut, key)} ${adviceFor(key)}`,
    ...(at !== null && { at }),
    measured: diameterMm,
    ...(fitsMm !== null && { limit: fitsMm }),
    unit: 'mm',
  };
}

function whatHasNone(cut: string, { index, count, reason, diameterMm }: RefusedKey): string {
  const wide = `${figure(diameterMm, 'mm')} wide`;
  if (index === null) {
    return `The seam ${shorten(cut)} has no room for ${plural(count, 'key')} of those asked for, ${wide}; ${count === 1 ? 'it is' : 'they are'} left out.`;
  }
  const place = `Key ${index} of ${shorten(cut)}, ${wide},`;
  if (reason === 'outside') return `${place} stands outside the section and is left out.`;
  if (reason === 'crowded') return `${place} stands too near another key and is left out.`;
  return `${place} would come too near the surface, a passage or a light and is left out.`;
}

function adviceFor({ index, reason, fitsMm }: RefusedKey): string {
  if (fitsMm !== null) {
    const all = index === null ? 'all of them' : 'one';
    return `There is room for ${all} up to ${figure(fitsMm, 'mm')} wide, as long.`;
  }
  if (reason === 'outside') return 'Move it into the section.';
  if (reason === 'crowded') return 'Move it away, or leave it out.';
  return index === null
    ? 'Ask for fewer, make them shorter, or glue the halves on pins.'
    : 'Move it inward, or make it shorter.';
}

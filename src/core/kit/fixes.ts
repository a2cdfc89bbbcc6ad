import { removeAt, replaceKey, setValue, type TextEdit } from './edits.ts';
import type { ReportedRemedy } from './finding.ts';
import type { FindingCode } from './findingTable.ts';
import { entryAt, keysUnder } from './keyTable.ts';
import type { ManifestPath } from './manifest.ts';
import { shorten } from './manifestPath.ts';
import { nearestWord } from './nearestWord.ts';
import { pathAt } from './pathAt.ts';
import { readTree, type Tree } from './readTree.ts';
import type { RemedyAsk } from './remedyAsk.ts';
import { remedyFixes } from './remedyFixes.ts';
import { renderFlow } from './renderYaml.ts';
import { keysAt, scalarAt, treeAt } from './treeAt.ts';

/** The finding a fix is asked for: its code, where it stands in the text, and its figures when known. */
export interface FixRequest {
  readonly code: FindingCode;
  /** UTF-16 offset of the start of its range. */
  readonly offset: number;
  readonly part?: string | null;
  readonly remedies?: readonly ReportedRemedy[];
}

export interface Fix {
  readonly title: string;
  readonly edits: readonly TextEdit[];
  /** The one fix that is most likely meant. */
  readonly preferred: boolean;
  /** Instead of edits: what the engine is to be asked for first. */
  readonly asks?: { readonly part: string; readonly ask: FixAsk };
}

export type FixAsk =
  | { readonly kind: 'propose-openings' | 'propose-pose' | 'propose-supports' | 'propose-split' }
  | RemedyAsk;

export interface FixContext {
  /** STL files of the kit folder, relative to it, `/` separated. */
  readonly files: readonly string[];
}

/** Edits that would answer a finding, matched on its code; each keeps comments and order. */
export function fixesFor(text: string, request: FixRequest, context: FixContext): readonly Fix[] {
  const { root } = readTree(text);
  const path = pathAt(root, request.offset)?.path ?? [];
  const { part, remedies = [] } = request;
  const fixes = [
    ...offers(text, root, path, request, context),
    ...(part === null || part === undefined ? [] : remedyFixes(text, part, remedies)),
  ];
  return fixes.filter(({ edits, asks }) => edits.length > 0 || asks !== undefined);
}

function offers(
  text: string,
  root: Tree | null,
  path: ManifestPath,
  request: FixRequest,
  { files }: FixContext,
): Fix[] {
  switch (request.code) {
    case 'key-unknown':
      return unknownKey(text, root, path);
    case 'value-out-of-range':
      return useDefault(text, path);
    case 'scale-missing':
      return giveScale(text, root);
    case 'scale-disagrees':
      return [fix('Take this length out', removeAt(text, path.slice(0, 3)), false)];
    case 'units-doubtful':
      return [...otherFactor(text, request), stylised(text)];
    case 'part-off-scale':
      return [...noPiece(text, request), stylised(text)];
    case 'resin-unknown':
      return chooseResin(text, root, path);
    case 'cut-unknown':
      return chooseCut(text, root, path);
    case 'file-missing':
    case 'file-unreadable':
      return chooseFile(text, root, path, files);
    case 'outside-plate':
    case 'too-tall':
      return [...poses(request, true), ...split(request)];
    case 'needs-supports':
      return [...supports(text, request, true), ...holding(request)];
    case 'starts-in-air':
      return [...supports(text, request, false), ...holding(request), ...poses(request, false)];
    case 'raft-meets-part':
      return holding(request);
    case 'tip-overloaded':
    case 'hold-weak':
    case 'island-unheld':
      return [...holding(request), ...poses(request, false)];
    case 'pull-high':
      return poses(request, false);
    case 'keep-solid-idle':
      return path.length >= 4 ? [fix('Remove this region', removeAt(text, path.slice(0, 4)), false)] : [];
    case 'support-idle':
      return path.length >= 5 ? [fix('Remove this support', removeAt(text, path.slice(0, 5)), false)] : [];
    case 'plate-part-unknown':
      return platePart(text, root, path);
    case 'plate-overlap':
    case 'plate-outside':
      return path.length >= 4
        ? [fix('Let it be arranged', removeAt(text, [...path.slice(0, 4), 'at']), false)]
        : [];
    default:
      return [];
  }
}

/** The name that may be meant, or the entry taken out. */
function platePart(text: string, root: Tree | null, path: ManifestPath): Fix[] {
  if (path.length < 4) return [];
  const entry = path.slice(0, 4);
  const place = treeAt(root, entry)?.kind === 'map' ? [...entry, 'part'] : entry;
  const asked = scalarAt(root, place);
  const known = keysAt(root, ['parts']);
  const nearest = typeof asked === 'string' && !known.includes(asked) ? nearestWord(asked, known) : null;
  const rename =
    nearest === null ? [] : [fix(`Put ${shorten(nearest)} there`, setValue(text, place, nearest), true)];
  return [...rename, fix('Take it off the plate', removeAt(text, entry), false)];
}

function fix(title: string, edits: readonly TextEdit[], preferred: boolean): Fix {
  return { title, edits, preferred };
}

function supports(text: string, { part }: FixRequest, preferred: boolean): Fix[] {
  if (part == null) return [];
  const edits = setValue(text, ['parts', part, 'supports'], 'planned');
  return [fix(`Plan supports for ${shorten(part)}`, edits, preferred)];
}

function holding({ part }: FixRequest): Fix[] {
  if (part == null) return [];
  const asks = { part, ask: { kind: 'propose-supports' } } as const;
  return [{ title: `Propose what holds ${part}`, edits: [], preferred: false, asks }];
}

function poses({ part }: FixRequest, preferred: boolean): Fix[] {
  if (part == null) return [];
  const asks = { part, ask: { kind: 'propose-pose' } } as const;
  return [{ title: `Propose poses for ${part}`, edits: [], preferred, asks }];
}

function split({ part }: FixRequest): Fix[] {
  if (part == null) return [];
  const asks = { part, ask: { kind: 'propose-split' } } as const;
  return [{ title: `Propose a split of ${part}`, edits: [], preferred: false, asks }];
}

function unknownKey(text: string, root: Tree | null, path: ManifestPath): Fix[] {
  const key = path.at(-1);
  if (typeof key !== 'string') return [];
  const holder = path.slice(0, -1);
  const entry = entryAt(holder);
  const written = keysAt(root, holder);
  const known = keysUnder(entry?.path ?? '').filter(({ name }) => !written.includes(name));
  const nearest = nearestWord(
    key,
    known.map(({ name }) => name),
  );
  const rename = nearest === null ? [] : [fix(`Rename to ${nearest}`, replaceKey(text, path, nearest), true)];
  return [...rename, fix(`Remove ${shorten(key)}`, removeAt(text, path), false)];
}

function useDefault(text: string, path: ManifestPath): Fix[] {
  let place = path;
  while (place.length > 0 && entryAt(place) === undefined) place = place.slice(0, -1);
  const fallback = entryAt(place)?.fallback;
  if (fallback === undefined) return [];
  return [fix(`Set the default, ${renderFlow(fallback)}`, setValue(text, place, fallback), false)];
}

function giveScale(text: string, root: Tree | null): Fix[] {
  const written = keysAt(root, ['scale']);
  if (written.includes('factor') && written.includes('from')) {
    return [
      fix('Keep factor, remove from', removeAt(text, ['scale', 'from']), false),
      fix('Keep from, remove factor', removeAt(text, ['scale', 'factor']), false),
    ];
  }
  if (written.includes('from')) {
    return [fix('Add finished: "1:4"', setValue(text, ['scale', 'finished'], '1:4'), true)];
  }
  return [fix('Add factor: 1 (print mm per source unit)', setValue(text, ['scale', 'factor'], 1), true)];
}

function otherFactor(text: string, { remedies = [] }: FixRequest): Fix[] {
  return remedies.flatMap(({ kind, value }) => {
    if (kind !== 'factor' || value === null) return [];
    return [fix(`Print the kit at a factor of ${value}`, setValue(text, ['scale', 'factor'], value), true)];
  });
}

function noPiece(text: string, { part }: FixRequest): Fix[] {
  if (part === null || part === undefined) return [];
  return [fix(`${part} is none: body: none`, setValue(text, ['parts', part, 'body'], 'none'), false)];
}

const stylised = (text: string): Fix =>
  fix('It has proportions of its own: stylised: yes', setValue(text, ['scale', 'stylised'], 'yes'), false);

function chooseResin(text: string, root: Tree | null, path: ManifestPath): Fix[] {
  const names = keysAt(root, ['resins']);
  const asked = scalarAt(root, path);
  const nearest = typeof asked === 'string' ? nearestWord(asked, names) : null;
  const place = path.at(-1) === 'resin' ? path : [...path.slice(0, 2), 'resin'];
  return names
    .slice(0, mostOffered)
    .map((name) => fix(`Print in ${shorten(name)}`, setValue(text, place, name), name === nearest));
}

function chooseCut(text: string, root: Tree | null, path: ManifestPath): Fix[] {
  const asked = path.at(-1);
  if (typeof asked !== 'string') return [];
  const names = keysAt(root, ['cuts']);
  const nearest = nearestWord(asked, names);
  return names
    .slice(0, mostOffered)
    .map((name) => fix(`Take the cut ${shorten(name)}`, replaceKey(text, path, name), name === nearest));
}

const mostOffered = 8;

function chooseFile(text: string, root: Tree | null, path: ManifestPath, files: readonly string[]): Fix[] {
  if (path[0] !== 'parts' || path.length < 2) return [];
  const place = [...path.slice(0, 2), 'file'];
  const used = new Set(keysAt(root, ['parts']).map((name) => scalarAt(root, ['parts', name, 'file'])));
  const free = files.filter((file) => !used.has(file));
  const asked = scalarAt(root, place);
  const nearest = nearestWord(typeof asked === 'string' ? asked : String(path[1]), free);
  const order = [...free].sort((a, b) => Number(b === nearest) - Number(a === nearest));
  return order
    .slice(0, mostOffered)
    .map((file) => fix(`Use ${shorten(file)}`, setValue(text, place, file), file === nearest));
}

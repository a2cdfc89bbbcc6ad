import type { ManifestPath } from './manifest.ts';
import { type Plain, plainOf, plainOfValue, samePlain, withoutValue, withValue } from './plainValue.ts';
import { readTree, type Span, type Tree } from './readTree.ts';
import { renderFlow, renderText, type YamlValue } from './renderYaml.ts';
import { lineBreak, lineEnd, lineStart } from './textLines.ts';
import { treeAt } from './treeAt.ts';

/** Replaces `text.slice(start, end)`; UTF-16 offsets. */
export interface TextEdit {
  readonly start: number;
  readonly end: number;
  readonly newText: string;
}

/**
 * Edits of the manifest's text, as small as they can be: comments, order and every other line stay
 * as they are. Each edit is proved before it is returned, by reading the edited text and comparing
 * all its values with what they should be. Where that cannot be done (broken YAML, a value shared
 * by an anchor, a block that would have to be rewritten) the answer is no edit at all.
 */
export function setValue(text: string, path: ManifestPath, value: YamlValue): readonly TextEdit[] {
  return edited(
    text,
    (root) => placeValue(text, root, path, value),
    (before) => withValue(before, path, plainOfValue(value)),
  );
}

/** Adds an entry at the end of a list, which is made when it is absent. */
export function insertIntoList(text: string, path: ManifestPath, item: YamlValue): readonly TextEdit[] {
  const list = treeAt(readTree(text).root, path);
  const length = list?.kind === 'list' ? list.items.length : 0;
  return edited(
    text,
    (root) => placeItem(text, root, path, item),
    (before) => withValue(before, [...path, length], plainOfValue(item)),
  );
}

/** Takes out a key with its value, or an entry of a list. A comment behind it on its line stays. */
export function removeAt(text: string, path: ManifestPath): readonly TextEdit[] {
  return edited(
    text,
    (root) => cutOut(text, root, path),
    (before) => withoutValue(before, path),
  );
}

/** Renames a key; its value and place stay. */
export function replaceKey(text: string, path: ManifestPath, newKey: string): readonly TextEdit[] {
  const holder = path.slice(0, -1);
  const oldKey = path.at(-1);
  if (typeof oldKey !== 'string') return [];
  return edited(
    text,
    (root) => {
      const map = treeAt(root, holder);
      const entry = map?.kind === 'map' ? map.entries.get(oldKey) : undefined;
      if (map?.kind !== 'map' || entry === undefined || entry.merged || map.entries.has(newKey)) return null;
      return { start: entry.key.start, end: entry.key.end, newText: renderText(newKey) };
    },
    (before) => {
      const value = valueAt(before, path);
      return value === undefined ? before : withValue(withoutValue(before, path), [...holder, newKey], value);
    },
  );
}

/** Puts a copy of a key with its value, comments included, behind it under another name. */
export function repeatEntry(text: string, path: ManifestPath, newKey: string): readonly TextEdit[] {
  const holder = path.slice(0, -1);
  return edited(
    text,
    (root) => {
      const map = treeAt(root, holder);
      const entry = map?.kind === 'map' ? map.entries.get(String(path.at(-1))) : undefined;
      if (map?.kind !== 'map' || map.flow || map.entries.has(newKey)) return null;
      if (entry === undefined || entry.merged || entry.value.shared) return null;
      const { key, value } = entry;
      const start = lineStart(text, key.start);
      if (
        text
          .slice(start, key.start)
          .replace(/^\ufeff/, '')
          .trim() !== ''
      )
        return null;
      const end = lineEnd(text, entryEnd(text, key, value));
      const copy =
        text.slice(start, key.start).replace(/^\ufeff/, '') + renderText(newKey) + text.slice(key.end, end);
      return { start: end, end, newText: lineBreak(text) + copy };
    },
    (before) => {
      const value = valueAt(before, path);
      return value === undefined ? before : withValue(before, [...holder, newKey], value);
    },
  );
}

export function applyEdits(text: string, edits: readonly TextEdit[]): string {
  return [...edits]
    .sort((a, b) => b.start - a.start)
    .reduce(
      (changed, { start, end, newText }) => changed.slice(0, start) + newText + changed.slice(end),
      text,
    );
}

function edited(
  text: string,
  place: (root: Tree | null) => TextEdit | null,
  expected: (before: Plain) => Plain,
): readonly TextEdit[] {
  const before = readTree(text);
  if (before.problems.length > 0) return [];
  const edit = place(before.root);
  if (edit === null) return [];
  const after = readTree(applyEdits(text, [edit]));
  if (after.problems.length > 0) return [];
  const wanted = expected(before.root === null ? new Map() : plainOf(before.root));
  const found = after.root === null ? new Map<string, Plain>() : plainOf(after.root);
  return samePlain(found, wanted) ? [edit] : [];
}

function valueAt(whole: Plain, path: ManifestPath): Plain | undefined {
  return path.reduce<Plain | undefined>((value, step) => {
    if (value instanceof Map) return value.get(String(step));
    return Array.isArray(value) ? value[Number(step)] : undefined;
  }, whole);
}

/** How far a path exists in the text itself: the deepest node, its key, and what holds it. */
interface Reached {
  readonly tree: Tree;
  readonly key: Span | null;
  readonly holder: Tree | null;
  readonly rest: ManifestPath;
}

function reach(root: Tree, path: ManifestPath): Reached {
  let reached: Reached = { tree: root, key: null, holder: null, rest: path };
  for (const [index, step] of path.entries()) {
    const { tree } = reached;
    const rest = path.slice(index + 1);
    if (tree.kind === 'map') {
      const entry = tree.entries.get(String(step));
      if (entry === undefined || entry.merged) return reached;
      reached = { tree: entry.value, key: entry.key, holder: tree, rest };
    } else if (tree.kind === 'list' && typeof step === 'number' && tree.items[step] !== undefined) {
      reached = { tree: tree.items[step], key: null, holder: tree, rest };
    } else return reached;
  }
  return reached;
}

function placeValue(text: string, root: Tree | null, path: ManifestPath, value: YamlValue): TextEdit | null {
  if (root === null) return appendLines(text, nestedLines(path, value, '', lineBreak(text)));
  const reached = reach(root, path);
  const { tree, rest } = reached;
  if (tree.shared) return null;
  if (rest.length === 0) return replaceValue(text, tree, value);
  if (tree.kind === 'map') return insertEntry(text, tree, rest, value);
  return isNull(tree) ? insertUnderKey(text, reached, rest, value) : null;
}

function replaceValue(text: string, tree: Tree, value: YamlValue): TextEdit | null {
  const rendered = renderFlow(value);
  if (tree.start === tree.end) {
    const gap = text[tree.start - 1] === ' ' ? '' : ' ';
    return { start: tree.start, end: tree.end, newText: gap + rendered };
  }
  const old = text.slice(tree.start, tree.end);
  const block = tree.kind !== 'scalar' && !tree.flow;
  if (block || /[\r\n]/.test(old)) return null;
  return { start: tree.start, end: tree.end, newText: rendered };
}

function isNull(tree: Tree): boolean {
  return tree.kind === 'scalar' && tree.value === null;
}

function insertEntry(
  text: string,
  map: Extract<Tree, { kind: 'map' }>,
  rest: ManifestPath,
  value: YamlValue,
): TextEdit | null {
  const [key, ...inner] = rest;
  if (typeof key !== 'string') return null;
  if (map.flow) return insertInFlow(text, map, '{', `${renderText(key)}: ${renderFlow(nest(inner, value))}`);
  const first = [...map.entries.values()].find(({ merged }) => !merged);
  const indent = first === undefined ? '' : indentOf(text, first.key.start);
  return insertLines(text, lastContent(text, map), nestedLines(rest, value, indent, lineBreak(text)));
}

/** Under a key that has no value yet: `vents:`. */
function insertUnderKey(
  text: string,
  reached: Reached,
  rest: ManifestPath,
  value: YamlValue,
): TextEdit | null {
  const { tree, key, holder } = reached;
  if (holder?.flow === true || key === null || tree.start !== tree.end) {
    return replaceValue(text, tree, nest(rest, value));
  }
  const indent = `${indentOf(text, key.start)}  `;
  return insertLines(text, key.end, nestedLines(rest, value, indent, lineBreak(text)));
}

function placeItem(text: string, root: Tree | null, path: ManifestPath, item: YamlValue): TextEdit | null {
  const reached = root === null ? null : reach(root, path);
  if (reached === null || reached.rest.length > 0) return placeValue(text, root, [...path, 0], item);
  const { tree } = reached;
  if (tree.shared) return null;
  if (tree.kind !== 'list') return isNull(tree) ? insertUnderKey(text, reached, [0], item) : null;
  if (tree.flow) return insertInFlow(text, tree, '[', renderFlow(item));
  const dash = text.lastIndexOf('-', (tree.items[0]?.start ?? tree.start + 1) - 1);
  const line = `${indentOf(text, dash)}- ${renderFlow(item)}`;
  return insertLines(text, lastContent(text, tree), line);
}

/** Behind the last entry, so that the builder's own spacing before the bracket stays. */
function insertInFlow(text: string, tree: Tree, open: '{' | '[', entry: string): TextEdit | null {
  const close = tree.end - 1;
  let last = close - 1;
  while (last > tree.start && /\s/.test(text[last]!)) last--;
  if (text[last] === open && last === tree.start) {
    return { start: last + 1, end: close, newText: open === '{' ? ` ${entry} ` : entry };
  }
  const comma = text[last] === ',' ? ' ' : ', ';
  return { start: last + 1, end: last + 1, newText: comma + entry };
}

function nest(path: ManifestPath, value: YamlValue): YamlValue {
  return path.reduceRight<YamlValue>(
    (inner, step) => (typeof step === 'number' ? [inner] : { [step]: inner }),
    value,
  );
}

/** `scale:` over `  factor: 3.4`; an index stands as `- `. */
function nestedLines(path: ManifestPath, value: YamlValue, indent: string, eol: string): string {
  const [step, ...rest] = path;
  if (typeof step === 'number') return `${indent}- ${renderFlow(nest(rest, value))}`;
  const key = `${indent}${renderText(String(step))}:`;
  if (rest.length === 0) return `${key} ${renderFlow(value)}`;
  return key + eol + nestedLines(rest, value, `${indent}  `, eol);
}

/** New lines under the one that holds `offset`; what stands behind it there, a comment, stays there. */
function insertLines(text: string, offset: number, lines: string): TextEdit {
  const at = lineEnd(text, offset);
  return { start: at, end: at, newText: lineBreak(text) + lines };
}

function appendLines(text: string, lines: string): TextEdit {
  const eol = lineBreak(text);
  const open = text === '' || /[\r\n\ufeff]$/.test(text) ? '' : eol;
  return { start: text.length, end: text.length, newText: open + lines + eol };
}

/** Spaces as wide as what stands before `offset` on its line: a dash indents as a space does. */
function indentOf(text: string, offset: number): string {
  const before = text.slice(lineStart(text, offset), offset).replace(/^\ufeff/, '');
  return ' '.repeat(before.length);
}

/** Offset behind the last thing a node holds, comments and blank lines left out. */
function lastContent(text: string, tree: Tree): number {
  let end = tree.end;
  if (!tree.flow && tree.kind === 'map') {
    const own = [...tree.entries.values()].filter(({ merged }) => !merged);
    if (own.length > 0) end = Math.max(...own.map((entry) => entryEnd(text, entry.key, entry.value)));
  } else if (!tree.flow && tree.kind === 'list' && tree.items.length > 0) {
    end = lastContent(text, tree.items.at(-1)!);
  }
  while (end > tree.start && /\s/.test(text[end - 1]!)) end--;
  return end;
}

function entryEnd(text: string, key: Span, value: Tree): number {
  return Math.max(key.end, value.start, lastContent(text, value));
}

function cutOut(text: string, root: Tree | null, path: ManifestPath): TextEdit | null {
  const step = path.at(-1);
  const holder = treeAt(root, path.slice(0, -1));
  if (step === undefined || holder === null || holder.shared || holder.kind === 'scalar') return null;
  const pieces = piecesOf(text, holder);
  const index = pieces.findIndex(({ step: each }) => each === step);
  if (index < 0) return null;
  const piece = pieces[index]!;
  const next = pieces[index + 1];
  if (holder.flow) {
    if (next !== undefined) return cut(piece.start, next.start);
    return cut(index > 0 ? pieces[index - 1]!.end : piece.start, piece.end);
  }
  return cutBlock(text, piece, next);
}

const cut = (start: number, end: number): TextEdit => ({ start, end, newText: '' });

interface Piece extends Span {
  readonly step: string | number;
}

function piecesOf(text: string, holder: Extract<Tree, { kind: 'map' | 'list' }>): Piece[] {
  if (holder.kind === 'map') {
    return [...holder.entries]
      .filter(([, { merged }]) => !merged)
      .map(([step, { key, value }]) => ({ step, start: key.start, end: entryEnd(text, key, value) }));
  }
  return holder.items.map((item, step) => ({
    step,
    start: holder.flow ? item.start : text.lastIndexOf('-', item.start - 1),
    end: lastContent(text, item),
  }));
}

/** Whole lines where it has them to itself; else up to what follows. */
function cutBlock(text: string, piece: Piece, next: Piece | undefined): TextEdit | null {
  const start = lineStart(text, piece.start);
  const end = lineEnd(text, piece.end);
  const alone = text.slice(start, piece.start).trim() === '';
  if (!alone) return next === undefined ? null : cut(piece.start, next.start);
  const behind = text.slice(piece.end, end);
  const comment = behind.search(/\S/);
  if (comment >= 0) return cut(piece.start, piece.end + comment);
  const after = text.startsWith('\r\n', end) ? end + 2 : Math.min(end + 1, text.length);
  if (after > end) return cut(start, after);
  return cut(start > 0 ? start - (text.startsWith('\r\n', start - 2) ? 2 : 1) : 0, end);
}

import type { ManifestPath } from './manifest.ts';
import { lineStart } from './textLines.ts';

/** Where a cursor stands in a manifest that is being typed and so is seldom whole YAML. */
export interface CursorContext {
  /** `key`: a key of the mapping at `path` (or an entry of the list) is being written; `value`: the value of `path`. */
  readonly wants: 'key' | 'value';
  /** Indices of lists are all 0: what may stand in a list is the same for every entry. */
  readonly path: ManifestPath;
  /** What is written of it so far, up to the cursor. */
  readonly prefix: string;
  /** Inside `{ }` or `[ ]`. */
  readonly flow: boolean;
}

/** Read from indentation and, on the cursor's own line, from brackets; null inside a comment. */
export function cursorContext(text: string, offset: number): CursorContext | null {
  const start = lineStart(text, offset);
  const line = text.slice(start, offset).replace(/^\ufeff/, '');
  if (/(^|\s)#/.test(withoutQuoted(line))) return null;
  const { dashes, rest, column } = blockTokens(line);
  const holders = holdersAbove(text.slice(0, start), dashes[0] ?? column, dashes.length > 0);
  const path = [...holders, ...dashes.map(() => 0)];
  const key = keyOf(rest);
  if (key !== null) return valueContext([...path, key.name], key.value);
  if (/^[[{]/.test(rest)) return flowContext(path, rest);
  return { wants: 'key', path, prefix: rest, flow: false };
}

function valueContext(path: ManifestPath, value: string): CursorContext {
  return /^[[{]/.test(value)
    ? flowContext(path, value)
    : { wants: 'value', path, prefix: value, flow: false };
}

interface BlockTokens {
  /** Columns of the `- ` a line starts with. */
  readonly dashes: readonly number[];
  readonly rest: string;
  readonly column: number;
}

function blockTokens(line: string): BlockTokens {
  const dashes: number[] = [];
  let column = line.search(/[^ ]|$/);
  while (/^-(\s|$)/.test(line.slice(column))) {
    dashes.push(column);
    column += 1;
    while (line[column] === ' ') column++;
  }
  return { dashes, rest: line.slice(column), column };
}

const keyText = /^(?:"([^"]*)"|'([^']*)'|([^\s#"'[\]{},&*!|>%@`-][^#]*?))\s*:(?:\s+(.*))?$/;

function keyOf(rest: string): { readonly name: string; readonly value: string } | null {
  const match = keyText.exec(rest);
  if (match === null) return null;
  return { name: match[1] ?? match[2] ?? match[3] ?? '', value: match[4] ?? '' };
}

/** Keys and list entries that hold what stands at a column, outermost first. */
function holdersAbove(above: string, column: number, isDash: boolean): (string | number)[] {
  const holders: (string | number)[] = [];
  let limit = column;
  // A list may stand at its key's own column.
  let keyLimit = isDash ? column + 1 : column;
  for (const line of above.split(/\r\n|\n|\r/).reverse()) {
    if (limit <= 0 && keyLimit <= 0) break;
    const tokens = blockTokens(line.replace(/^\ufeff/, ''));
    if (tokens.rest === '' ? tokens.dashes.length === 0 : tokens.rest.startsWith('#')) continue;
    const key = keyOf(tokens.rest.replace(/\s+#.*$/, ''));
    if (key !== null && /^(?:&\S*)?\s*$/.test(key.value) && tokens.column < keyLimit) {
      holders.unshift(key.name);
      limit = tokens.column;
      keyLimit = limit;
    }
    for (const dash of [...tokens.dashes].reverse()) {
      if (dash >= limit) continue;
      holders.unshift(0);
      limit = dash;
      keyLimit = dash + 1;
    }
    const first = tokens.dashes[0] ?? tokens.column;
    if (first < limit) {
      limit = first;
      keyLimit = first;
    }
  }
  return holders;
}

function flowContext(base: ManifestPath, text: string): CursorContext {
  const frames: { open: string; key: string | null; from: number }[] = [];
  let quote = '';
  for (let i = 0; i < text.length; i++) {
    const unit = text[i]!;
    const top = frames.at(-1);
    if (quote !== '') {
      if (unit === quote) quote = '';
    } else if ((unit === '"' || unit === "'") && text.slice(top?.from ?? 0, i).trim() === '') quote = unit;
    else if (unit === '{' || unit === '[') frames.push({ open: unit, key: null, from: i + 1 });
    else if (unit === '}' || unit === ']') frames.pop();
    else if (top !== undefined && unit === ',') {
      top.key = null;
      top.from = i + 1;
    } else if (top?.open === '{' && top.key === null && unit === ':' && /\s|$/.test(text[i + 1] ?? '')) {
      top.key = text
        .slice(top.from, i)
        .trim()
        .replace(/^["']|["']$/g, '');
      top.from = i + 1;
    }
  }
  const path: (string | number)[] = [...base];
  for (const [index, { open, key }] of frames.entries()) {
    const last = index === frames.length - 1;
    if (open === '[') path.push(0);
    else if (key !== null) path.push(key);
    else if (!last) break;
  }
  const top = frames.at(-1);
  const prefix = top === undefined ? '' : text.slice(top.from).trimStart();
  return { wants: top?.open === '{' && top.key === null ? 'key' : 'value', path, prefix, flow: true };
}

function withoutQuoted(line: string): string {
  return line.replace(/"[^"]*"|'[^']*'/g, '');
}

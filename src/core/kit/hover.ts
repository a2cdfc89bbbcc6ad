import { formatBounds } from './checkValue.ts';
import { entryAt, type KeyEntry } from './keyTable.ts';
import { formatPath } from './manifestPath.ts';
import { pathAt } from './pathAt.ts';
import { readTree, type Span } from './readTree.ts';

export interface HoverText {
  /** UTF-16 offsets. */
  readonly range: Span;
  readonly markdown: string;
}

/** What the key at an offset means: its unit, range, default and where that comes from. */
export function hoverAt(text: string, offset: number): HoverText | null {
  const found = pathAt(readTree(text).root, offset);
  if (found === null) return null;
  let path = found.path;
  let entry = entryAt(path);
  // A number inside a vector is told by the vector's own key.
  while (entry === undefined && typeof path.at(-1) === 'number') {
    path = path.slice(0, -1);
    entry = entryAt(path);
  }
  if (entry === undefined) return null;
  return { range: found.span, markdown: `${code(formatPath(path))}\n\n${describeKey(entry)}` };
}

/** Meaning, unit, range and default of a key, as Markdown. */
export function describeKey(entry: KeyEntry): string {
  const facts = [unitText(entry), rangeText(entry), defaultText(entry)].filter((text) => text !== null);
  return [entry.doc, ...(facts.length > 0 ? [facts.join(' · ')] : [])].join('\n\n');
}

function unitText({ unit }: KeyEntry): string | null {
  return unit === undefined ? null : `Unit: ${unit}`;
}

function rangeText({ value }: KeyEntry): string | null {
  switch (value.shape) {
    case 'number':
    case 'numbers':
    case 'numberOrWord': {
      const { above, atLeast, below, atMost } = value;
      if ([above, atLeast, below, atMost].every((bound) => bound === undefined)) return null;
      const word = value.shape === 'numberOrWord' ? ` or ${code(value.word)}` : '';
      return `Range: ${formatBounds(value)}${word}`;
    }
    default:
      return null;
  }
}

function defaultText({ fallback, basis }: KeyEntry): string | null {
  if (fallback === undefined) return null;
  const shown = typeof fallback === 'object' ? `[${fallback.join(', ')}]` : String(fallback);
  return `Default: ${code(shown)}${basis === undefined ? '' : ` (${basis})`}`;
}

function code(text: string): string {
  return `\`${text.replaceAll('`', "'")}\``;
}

import { plainOf, plainOfValue, samePlain } from '../plainValue.ts';
import { readTree, type Tree } from '../readTree.ts';
import { renderFlow, type YamlValue } from '../renderYaml.ts';
import { lineBreak, lineStart } from '../textLines.ts';
import type { PrintEntry } from './journal.ts';

const head = `# How prints went, the oldest first. "kitwright log-print" and "Log a Print" add to it; words and keys of your own
# stay, wherever you write them. "kitwright journal" tells what worked, and what it says of your film.
`;

/**
 * The journal with one more print at its end: all that stood there stands there still, to the letter. Proved by
 * reading both; null where the text does not allow it (a list in brackets, something else behind the list).
 */
export function appendPrint(text: string, entry: PrintEntry): string | null {
  const before = readTree(text);
  if (before.problems.length > 0) return null;
  const value = entryValue(entry);
  const eol = lineBreak(text);
  const open = text === '' || /[\r\n\ufeff]$/.test(text) ? '' : eol;
  const start = text.trim() === '' ? `${text}${head.replaceAll('\n', eol)}` : text + open;
  const after = start + linesOf(value, indentOf(text, before.root), eol);
  const found = readTree(after);
  if (found.problems.length > 0 || found.root === null) return null;
  const was = before.root === null ? [] : plainOf(before.root);
  const list = Array.isArray(was) ? was : 'scalar' in was && was.scalar === null ? [] : null;
  if (list === null) return null;
  return samePlain(plainOf(found.root), [...list, plainOfValue(value)]) ? after : null;
}

/** Of the entries that stand there already. */
function indentOf(text: string, root: Tree | null): string {
  const first = root?.kind === 'list' && !root.flow ? root.items[0] : undefined;
  if (first === undefined) return '';
  const dash = text.lastIndexOf('-', first.start - 1);
  return ' '.repeat(dash - lineStart(text, dash));
}

type Entries = { readonly [key: string]: YamlValue };

/** What is null is left out, but for what means something as null. */
function entryValue({ settings, figures, ...told }: PrintEntry): Entries {
  const given = Object.entries(told).filter(([, value]) => value !== null);
  return {
    ...Object.fromEntries(given),
    ...(settings && { settings: { ...settings } }),
    ...(figures && { figures: figuresValue(figures) }),
  };
}

function figuresValue({ weakest, failed, peak, ...others }: NonNullable<PrintEntry['figures']>): Entries {
  return {
    ...others,
    peak: { ...peak },
    ...(weakest && { weakest: { ...weakest } }),
    ...(failed && { failed: { ...failed } }),
  };
}

/** A key a line; settings and figures over several, since a line of each would be too long to read. */
function linesOf(entry: Entries, indent: string, eol: string): string {
  const lines = Object.entries(entry).flatMap(([key, value]) =>
    key === 'settings' || key === 'figures'
      ? [`${key}:`, ...Object.entries(value as Entries).map(([inner, of]) => `  ${inner}: ${renderFlow(of)}`)]
      : [`${key}: ${renderFlow(value)}`],
  );
  return lines.map((line, n) => indent + (n === 0 ? '- ' : '  ') + line + eol).join('');
}

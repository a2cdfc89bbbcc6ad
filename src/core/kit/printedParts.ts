import { parse } from 'yaml';

/** UTF-16 units. */
const longestJournal = 4_000_000;

/**
 * The parts of which a journal tells a good print: entries with `part` and `result: good`, in a list that is the whole
 * text or stands under one of its keys. A journal that cannot be read tells of none.
 */
export function printedParts(text: string): ReadonlySet<string> {
  if (text.length > longestJournal) return new Set();
  let whole: unknown;
  try {
    whole = parse(text, { maxAliasCount: 0, logLevel: 'silent' });
  } catch {
    return new Set();
  }
  const lists = Array.isArray(whole) ? [whole] : isRecord(whole) ? Object.values(whole) : [];
  const entries = lists.flatMap((list: unknown): unknown[] => (Array.isArray(list) ? list : []));
  return new Set(
    entries.flatMap((entry) => {
      if (!isRecord(entry)) return [];
      const { part, result } = entry;
      return typeof part === 'string' && result === 'good' ? [part] : [];
    }),
  );
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;

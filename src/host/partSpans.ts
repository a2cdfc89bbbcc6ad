import type { Span, Tree } from '../core/kit/readTree.ts';

/** Where a part stands in the manifest: its key, and all text up to the next part. */
export interface PartSpan {
  readonly name: string;
  readonly key: Span;
  readonly value: Tree;
  readonly start: number;
  readonly end: number;
}

export function partSpans(root: Tree | null): readonly PartSpan[] {
  const parts = root?.kind === 'map' ? root.entries.get('parts')?.value : undefined;
  if (parts?.kind !== 'map') return [];
  const entries = [...parts.entries].filter(([, entry]) => !entry.merged);
  return entries.map(([name, { key, value }], index) => ({
    name,
    key,
    value,
    start: key.start,
    end: (entries[index + 1]?.[1].key.start ?? Math.max(parts.end, value.end) + 1) - 1,
  }));
}

export interface OpeningSpan extends Span {
  /** `vents/0`. */
  readonly id: string;
}

const openingLists = ['vents', 'drains', 'tubes'];

/** The entries of a part's lists of openings, as far as they stand in its own text. */
export function openingsOf({ value }: PartSpan): readonly OpeningSpan[] {
  if (value.kind !== 'map') return [];
  return openingLists.flatMap((list) => {
    const entry = value.entries.get(list);
    if (entry === undefined || entry.merged || entry.value.kind !== 'list') return [];
    return entry.value.items.map(({ start, end }, index) => ({ id: `${list}/${index}`, start, end }));
  });
}

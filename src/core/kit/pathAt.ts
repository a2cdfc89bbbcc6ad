import type { ManifestPath } from './manifest.ts';
import type { Span, Tree } from './readTree.ts';

export interface PathAt {
  readonly path: ManifestPath;
  /** The key's text, or the value's where there is no key (an entry of a list). */
  readonly span: Span;
  readonly onKey: boolean;
}

/** The deepest key or value that stands at an offset of the text, or null between them. */
export function pathAt(root: Tree | null, offset: number): PathAt | null {
  if (root === null) return null;
  return search(root, [], offset);
}

function search(tree: Tree, path: ManifestPath, offset: number): PathAt | null {
  if (tree.kind === 'map') {
    for (const [name, { key, value, merged }] of tree.entries) {
      if (merged) continue;
      const inner = [...path, name];
      if (holds(key, offset)) return { path: inner, span: key, onKey: true };
      const found = search(value, inner, offset);
      if (found !== null) return found.path.length === inner.length ? { ...found, span: value } : found;
    }
  } else if (tree.kind === 'list') {
    for (const [index, item] of tree.items.entries()) {
      const found = search(item, [...path, index], offset);
      if (found !== null) return found;
    }
  }
  if (path.length === 0 || !holds(tree, offset) || (tree.kind !== 'scalar' && !tree.flow)) {
    // A block entry of a list is pointed at by where it starts.
    if (tree.start !== offset || typeof path.at(-1) !== 'number') return null;
  }
  return { path, span: tree, onKey: false };
}

function holds({ start, end }: Span, offset: number): boolean {
  return offset >= start && offset <= end && end > start;
}

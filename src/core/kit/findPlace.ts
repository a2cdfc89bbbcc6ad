import type { ManifestPath } from './manifest.ts';
import type { Span, Tree } from './readTree.ts';
import { lineEnd } from './textLines.ts';

/**
 * The narrow piece of text a path stands for: a leaf or a flow value whole, a block value by its
 * key, an entry of a block list by its first line. Where the path goes on but the text does not,
 * the nearest parent that exists is pointed at. `atKey` asks for the key itself.
 */
export function findPlace(text: string, root: Tree | null, path: ManifestPath, atKey = false): Span {
  if (root === null) return { start: 0, end: lineEnd(text, 0) };
  let tree: Tree = root;
  let key: Span | null = null;
  let whole = true;
  for (const step of path) {
    const next = stepInto(tree, step);
    if (next === null) {
      whole = false;
      break;
    }
    tree = next.value;
    key = next.key;
  }
  if (key !== null && (atKey || !whole || isBlock(text, tree) || tree.start === tree.end)) {
    if (tree !== root) return key;
  }
  if (tree === root) return firstKey(root) ?? { start: 0, end: lineEnd(text, 0) };
  return { start: tree.start, end: Math.min(tree.end, lineEnd(text, tree.start)) };
}

function stepInto(tree: Tree, step: string | number): { key: Span | null; value: Tree } | null {
  if (tree.kind === 'map') return tree.entries.get(String(step)) ?? null;
  const item = tree.kind === 'list' && typeof step === 'number' ? tree.items[step] : undefined;
  return item === undefined ? null : { key: null, value: item };
}

function isBlock(text: string, tree: Tree): boolean {
  return !tree.flow && (tree.kind !== 'scalar' || lineEnd(text, tree.start) < tree.end);
}

function firstKey(root: Tree): Span | null {
  if (root.kind !== 'map') return null;
  const first = root.entries.values().next();
  return first.done ? null : first.value.key;
}

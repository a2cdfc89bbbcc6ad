import type { ManifestPath } from './manifest.ts';
import type { Tree } from './readTree.ts';

/** The node a path leads to, through aliases and merge keys too; null where it leads nowhere. */
export function treeAt(root: Tree | null, path: ManifestPath): Tree | null {
  return path.reduce<Tree | null>((tree, step) => {
    if (tree?.kind === 'map') return tree.entries.get(String(step))?.value ?? null;
    return tree?.kind === 'list' && typeof step === 'number' ? (tree.items[step] ?? null) : null;
  }, root);
}

/** The keys of the mapping a path leads to; none where it leads to no mapping. */
export function keysAt(root: Tree | null, path: ManifestPath): string[] {
  const tree = treeAt(root, path);
  return tree?.kind === 'map' ? [...tree.entries.keys()] : [];
}

/** The scalar a path leads to; undefined where it leads to none. */
export function scalarAt(root: Tree | null, path: ManifestPath): unknown {
  const tree = treeAt(root, path);
  return tree?.kind === 'scalar' ? tree.value : undefined;
}

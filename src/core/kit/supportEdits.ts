import type { Vec3 } from '../vector.ts';
import { difference } from './difference.ts';
import { applyEdits, insertIntoList, removeAt, setValue, type TextEdit } from './edits.ts';
import type { ManifestPath } from './manifest.ts';
import { readTree } from './readTree.ts';
import type { YamlValue } from './renderYaml.ts';
import { scalarAt } from './treeAt.ts';

/** One thing that a gesture does to a part's supports. Source coordinates; widths and radii in print mm. */
export type SupportGesture =
  /** A support placed by hand. */
  | { readonly kind: 'place'; readonly at: Vec3; readonly tip: number }
  /** One of those, by its place in the list, put elsewhere or made another width. */
  | { readonly kind: 'change'; readonly index: number; readonly at: Vec3; readonly tip: number }
  | { readonly kind: 'remove'; readonly index: number }
  /** No planned support touches the part within this ball. */
  | { readonly kind: 'keep-free'; readonly at: Vec3; readonly radius: number };

/**
 * The manifest's one edit that these make, comments and order kept; null where the text does not allow it (see
 * `edits.ts`).
 */
export function supportEdits(
  text: string,
  part: string,
  gestures: readonly SupportGesture[],
): readonly TextEdit[] | null {
  let changed = text;
  for (const gesture of gestures) {
    const edits = editsOf(changed, part, gesture);
    if (edits === null) return null;
    changed = applyEdits(changed, edits);
  }
  return changed === text ? [] : [difference(text, changed)];
}

function editsOf(text: string, part: string, gesture: SupportGesture): readonly TextEdit[] | null {
  const own = ['parts', part, 'supports'];
  switch (gesture.kind) {
    case 'place':
      return listed(text, own, 'by-hand', { at: [...gesture.at], tip: gesture.tip });
    case 'keep-free':
      return listed(text, own, 'keep-free', { at: [...gesture.at], radius: gesture.radius });
    case 'remove':
      return orNull(removeAt(text, [...own, 'by-hand', gesture.index]));
    case 'change':
      return changed(text, [...own, 'by-hand', gesture.index], gesture);
  }
}

function changed(
  text: string,
  entry: ManifestPath,
  { at, tip }: Extract<SupportGesture, { kind: 'change' }>,
): readonly TextEdit[] | null {
  const placed = orNull(setValue(text, [...entry, 'at'], [...at]));
  if (placed === null) return null;
  const moved = applyEdits(text, placed);
  const sized = orNull(setValue(moved, [...entry, 'tip'], tip));
  return sized && [difference(text, applyEdits(moved, sized))];
}

/** `supports: planned` gives way to settings of its own, which say so as well. */
function listed(
  text: string,
  own: readonly string[],
  list: string,
  entry: YamlValue,
): readonly TextEdit[] | null {
  const isWord = scalarAt(readTree(text).root, own) !== undefined;
  const bare = isWord ? orNull(removeAt(text, own)) : [];
  if (bare === null) return null;
  const cleared = applyEdits(text, bare);
  const added = orNull(insertIntoList(cleared, [...own, list], entry));
  return added && [difference(text, applyEdits(cleared, added))];
}

const orNull = (edits: readonly TextEdit[]): readonly TextEdit[] | null => (edits.length > 0 ? edits : null);

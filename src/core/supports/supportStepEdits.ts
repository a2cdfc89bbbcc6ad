import { difference } from '../kit/difference.ts';
import { applyEdits, removeAt, setValue, type TextEdit } from '../kit/edits.ts';
import { readTree } from '../kit/readTree.ts';
import { scalarAt } from '../kit/treeAt.ts';
import type { SupportStep } from './nextSupportStep.ts';

/** The manifest's one edit that takes the step for a part, comments and order kept; null where the text does not allow it. */
export function supportStepEdits(
  text: string,
  part: string,
  { key, value }: SupportStep,
): readonly TextEdit[] | null {
  const own = ['parts', part];
  if (key !== 'widest-tip') return orNull(setValue(text, [...own, key], value));
  // `supports: planned` gives way to settings of its own, which say so as well.
  const isWord = scalarAt(readTree(text).root, [...own, 'supports']) !== undefined;
  const cleared = isWord ? applyEdits(text, removeAt(text, [...own, 'supports'])) : text;
  const set = orNull(setValue(cleared, [...own, 'supports', key], value));
  return set && [difference(text, applyEdits(cleared, set))];
}

const orNull = (edits: readonly TextEdit[]): readonly TextEdit[] | null => (edits.length > 0 ? edits : null);

import type { TextEdit } from './edits.ts';

/** One edit from one text to the other: all between what both begin and end with. */
export function difference(before: string, after: string): TextEdit {
  let start = 0;
  while (start < before.length && before[start] === after[start]) start++;
  let end = 0;
  const most = Math.min(before.length, after.length) - start;
  while (end < most && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
  return { start, end: before.length - end, newText: after.slice(start, after.length - end) };
}

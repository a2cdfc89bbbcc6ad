import type { ShowOutline } from '../showSide/showOutline.ts';
import { insertIntoList, type TextEdit } from './edits.ts';
import type { Part } from './manifest.ts';

/** The manifest's edit that marks one more outline of the show side; null where the text does not allow it. */
export function outlineEdits(
  text: string,
  part: Part,
  { outline, facing }: ShowOutline,
): readonly TextEdit[] | null {
  const points = outline.map((point) => [...point]);
  const entry = facing === null ? { outline: points } : { outline: points, facing: [...facing] };
  const edits = insertIntoList(text, ['parts', part.name, 'show'], entry);
  return edits.length > 0 ? edits : null;
}

/** Zero-based text positions and edits as the editor reports them, and how an edit moves a range. */
export interface TextPosition {
  readonly line: number;
  readonly character: number;
}

export interface TextRange {
  readonly start: TextPosition;
  readonly end: TextPosition;
}

export interface TextChange {
  readonly range: TextRange;
  readonly text: string;
}

/** The range after the change; null when the change touched the text in it. */
export function shiftRange(range: TextRange, change: TextChange): TextRange | null {
  if (isBefore(range.end, change.range.start)) return range;
  if (!isBefore(change.range.end, range.start) && !endsAt(change, range.start)) return null;
  return { start: shiftPosition(range.start, change), end: shiftPosition(range.end, change) };
}

/** An insertion of whole lines directly before a range pushes it down; anything else there touches it. */
function endsAt(change: TextChange, start: TextPosition): boolean {
  return equal(change.range.end, start) && (change.text === '' || change.text.endsWith('\n'));
}

function shiftPosition(position: TextPosition, change: TextChange): TextPosition {
  const lines = change.text.split('\n');
  const last = lines[lines.length - 1]!.length;
  const lineShift = lines.length - 1 - (change.range.end.line - change.range.start.line);
  if (position.line > change.range.end.line) {
    return { line: position.line + lineShift, character: position.character };
  }
  const from = lines.length === 1 ? change.range.start.character + last : last;
  return {
    line: position.line + lineShift,
    character: from + (position.character - change.range.end.character),
  };
}

function isBefore(a: TextPosition, b: TextPosition): boolean {
  return a.line < b.line || (a.line === b.line && a.character < b.character);
}

function equal(a: TextPosition, b: TextPosition): boolean {
  return a.line === b.line && a.character === b.character;
}

import type { SourceRange } from './manifest.ts';

/** Offsets at which the lines of a text start. CRLF, LF and a lone CR end a line, as in an editor. */
export function lineStarts(text: string): number[] {
  const starts = [0];
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    if (unit === 10 || (unit === 13 && text.charCodeAt(i + 1) !== 10)) starts.push(i + 1);
  }
  return starts;
}

/** Offset of the first line break at or after `offset`, or the end of the text. */
export function lineEnd(text: string, offset: number): number {
  for (let i = offset; i < text.length; i++) {
    const unit = text.charCodeAt(i);
    if (unit === 10 || unit === 13) return i;
  }
  return text.length;
}

/** Offset at which the line holding `offset` starts. */
export function lineStart(text: string, offset: number): number {
  for (let i = offset; i > 0; i--) {
    const unit = text.charCodeAt(i - 1);
    if (unit === 10 || unit === 13) return i;
  }
  return 0;
}

/** The line break a text uses. */
export function lineBreak(text: string): string {
  return text.includes('\r\n') ? '\r\n' : '\n';
}

/** Turns offsets into 1-based UTF-16 lines and columns. */
export function sourceRange(starts: readonly number[], start: number, end: number): SourceRange {
  const line = lineIndex(starts, start);
  const endLine = lineIndex(starts, end);
  return {
    start,
    end,
    line: line + 1,
    column: start - starts[line]! + 1,
    endLine: endLine + 1,
    endColumn: end - starts[endLine]! + 1,
  };
}

function lineIndex(starts: readonly number[], offset: number): number {
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (starts[middle]! <= offset) low = middle;
    else high = middle - 1;
  }
  return low;
}

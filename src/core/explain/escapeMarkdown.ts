/**
 * Text of the builder's as Markdown that shows it and does nothing else: no emphasis, link, image,
 * HTML, table cell, formula, address or line of its own comes out of it, whatever a file or a part is called.
 * Not for the start of a line.
 */
export function escapeMarkdown(text: string): string {
  return text
    .replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ')
    .replace(/[\\`*_[\]<>&|~$#!{}@]/g, '\\$&')
    .replace(/:(?=\/)|(?<=\w)\.(?=\p{L})/gu, '\\$&');
}

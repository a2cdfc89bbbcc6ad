import type { SourceRange } from './manifest.ts';
import type { ParsedManifest } from './parseManifest.ts';

/** The parts whose key stands in the text, in its order, with the place of that key. */
export function partRanges(
  parsed: ParsedManifest,
): readonly { readonly name: string; readonly key: SourceRange }[] {
  const parts = parsed.manifest?.parts ?? [];
  return parts.map(({ name }) => ({ name, key: parsed.rangeOf(['parts', name], true) }));
}

import type { ManifestPath } from './manifest.ts';

/** `parts.torso.vents[0].depth`, as people read it. */
export function formatPath(path: ManifestPath): string {
  return path.reduce<string>((text, step) => {
    if (typeof step === 'number') return `${text}[${step}]`;
    return text === '' ? shorten(step) : `${text}.${shorten(step)}`;
  }, '');
}

/** The part a path lies in, or null. */
export function partOfPath(path: ManifestPath): string | null {
  return path[0] === 'parts' && path.length > 1 ? String(path[1]) : null;
}

/** A path as a key of a map; distinct paths give distinct keys. */
export function pathKey(path: ManifestPath): string {
  return JSON.stringify(path);
}

/** Text of the builder's, fit to stand in a sentence. */
export function shorten(text: string): string {
  const line = text.replace(/[\p{Cc}\u2028\u2029]/gu, ' ');
  return line.length > 60 ? `${line.slice(0, 57)}…` : line;
}

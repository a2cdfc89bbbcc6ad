import { buildManifest } from './buildManifest.ts';
import { checkTree } from './checkTree.ts';
import type { FindingDraft } from './finding.ts';
import { findPlace } from './findPlace.ts';
import type { Manifest, ManifestPath, SourceRange } from './manifest.ts';
import { type ReadTree, readTree, type Tree, type TreeProblem } from './readTree.ts';
import { textRules } from './rules/textRules.ts';
import { lineEnd, lineStarts, sourceRange } from './textLines.ts';

export interface ParsedManifest {
  /** Null only when the text cannot be read as a mapping. */
  readonly manifest: Manifest | null;
  /** What the text alone tells. */
  readonly findings: readonly FindingDraft[];
  /** The text a path stands for, or that of its nearest parent; with `atKey` the key. Never throws. */
  rangeOf(path: ManifestPath, atKey?: boolean): SourceRange;
  /** The text a finding points at. */
  placeOf(draft: FindingDraft): SourceRange;
  readonly tree: Tree | null;
}

/**
 * Reads `kit.yaml`. Never throws. Broken YAML gives its own findings alone, at their places, since
 * what a parser guesses behind a fault would be noise; the manifest is still filled as far as it goes.
 */
export function parseManifest(text: string): ParsedManifest {
  const read = readTree(text);
  const starts = lineStarts(text);
  const root = read.root?.kind === 'map' ? read.root : null;
  const checked = root === null ? null : checkTree(root);
  const manifest = checked === null ? null : buildManifest(checked);
  const told =
    read.whole && checked !== null && manifest !== null && root !== null
      ? [...checked.findings, ...textRules(manifest, root)]
      : [];
  return {
    manifest,
    findings: [...yamlFindings(text, read), ...told],
    tree: read.root,
    rangeOf,
    placeOf: ({ path, atKey, span }) =>
      span === undefined ? rangeOf(path, atKey) : sourceRange(starts, span.start, span.end),
  };

  function rangeOf(path: ManifestPath, atKey = false): SourceRange {
    const place = findPlace(text, read.root, path, atKey);
    return sourceRange(starts, place.start, place.end);
  }
}

function yamlFindings(text: string, read: ReadTree): FindingDraft[] {
  const problems = [...read.problems];
  if (read.root?.kind !== 'map' && problems.length === 0) {
    const message =
      read.root === null
        ? 'The manifest is empty; it starts with kit: and the name of the kit.'
        : 'The manifest must be a mapping of keys, as kit: The Lamplighter.';
    problems.push({ message, start: 0, end: lineEnd(text, 0) });
  }
  return problems.map((problem) => ({
    code: 'yaml-invalid',
    part: null,
    message: problem.message,
    path: [],
    span: visible(text, problem),
  }));
}

/** An empty piece widened to one character, so that an editor can underline it. */
function visible(text: string, { start, end }: TreeProblem): { start: number; end: number } {
  if (end > start) return { start, end };
  return start < lineEnd(text, start)
    ? { start, end: start + 1 }
    : { start: Math.max(0, start - 1), end: start };
}

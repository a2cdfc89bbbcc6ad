import type { Vec3 } from '../vector.ts';
import type { Finding, FindingDraft, Remedy, ReportedRemedy } from './finding.ts';
import { findingTable } from './findingTable.ts';
import type { SourceRange } from './manifest.ts';
import { roundTo, roundVec3 } from './rounding.ts';

export interface FindingPlaces {
  /** File the places lie in, relative to the kit folder, `/` separated. */
  readonly file: string;
  /** Where a draft points in that file. */
  placeOf(draft: FindingDraft): SourceRange;
  /** A print-frame point of a part in source coordinates; null when the part's pose is not known. */
  toSource(part: string, at: Vec3): Vec3 | null;
}

/**
 * Drafts as reported findings, numbered from 1 in the order of the manifest, then of layers. The
 * same drafts get the same numbers whatever order they come in, so that flags and Problems agree.
 */
export function numberFindings(drafts: readonly FindingDraft[], places: FindingPlaces): Finding[] {
  return drafts
    .map((draft) => ({ draft, place: places.placeOf(draft) }))
    .sort(byPlaceThenLayer)
    .map(({ draft, place }, index) => toFinding(index + 1, draft, place, places));
}

interface PlacedDraft {
  readonly draft: FindingDraft;
  readonly place: SourceRange;
}

function byPlaceThenLayer(a: PlacedDraft, b: PlacedDraft): number {
  return (
    a.place.start - b.place.start ||
    (a.draft.layer ?? -1) - (b.draft.layer ?? -1) ||
    compareText(a.draft.code, b.draft.code) ||
    compareText(a.draft.message, b.draft.message) ||
    comparePoints(a.draft.at, b.draft.at)
  );
}

/** By code unit: a locale's order would differ from machine to machine. */
function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

function comparePoints(a: Vec3 | undefined, b: Vec3 | undefined): number {
  if (a === undefined || b === undefined) return (a ? 1 : 0) - (b ? 1 : 0);
  return a[0] - b[0] || a[1] - b[1] || a[2] - b[2];
}

function toFinding(number: number, draft: FindingDraft, place: SourceRange, places: FindingPlaces): Finding {
  const { code, part, at } = draft;
  const source = at === undefined || part === null ? null : places.toSource(part, at);
  return {
    number,
    code,
    severity: findingTable[code].severity,
    part,
    message: draft.message,
    file: places.file,
    line: place.line,
    column: place.column,
    end_line: place.endLine,
    end_column: place.endColumn,
    layer: draft.layer ?? null,
    at: at === undefined ? null : roundVec3(at, 3),
    at_source: source === null ? null : roundVec3(source, 4),
    measured: rounded(draft.measured),
    limit: rounded(draft.limit),
    unit: draft.unit ?? null,
    opening: draft.opening ?? null,
    remedies: (draft.remedies ?? []).map((remedy) => reportRemedy(remedy, draft, places)),
  };
}

function reportRemedy(remedy: Remedy, draft: FindingDraft, places: FindingPlaces): ReportedRemedy {
  const at = 'at' in remedy ? remedy.at : null;
  const source = at === null || draft.part === null ? null : places.toSource(draft.part, at);
  return {
    kind: remedy.kind,
    opening: ('opening' in remedy ? remedy.opening : undefined) ?? draft.opening ?? null,
    // A factor may be small: it has its digits already.
    value: remedy.kind === 'factor' ? remedy.value : 'value' in remedy ? rounded(remedy.value) : null,
    at: at === null ? null : roundVec3(at, 3),
    at_source: source === null ? null : roundVec3(source, 4),
    turn: 'turn' in remedy ? remedy.turn : null,
  };
}

/** JSON has no infinities; a value that is none is told by the message alone. */
function rounded(value: number | undefined): number | null {
  return value === undefined || !Number.isFinite(value) ? null : roundTo(value, 3);
}

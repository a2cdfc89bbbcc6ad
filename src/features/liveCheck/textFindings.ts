import { findingTable } from '../../core/kit/findingTable.ts';
import type { ParsedManifest } from '../../core/kit/parseManifest.ts';
import { manifestName } from '../../host/ids.ts';
import type { ShownFinding } from '../../host/shownFinding.ts';

/** What the text alone tells, not yet numbered. */
export function textFindings(parsed: ParsedManifest): readonly ShownFinding[] {
  return parsed.findings.map((draft) => {
    const range = parsed.placeOf(draft);
    return {
      number: null,
      code: draft.code,
      severity: findingTable[draft.code].severity,
      part: draft.part,
      message: draft.message,
      file: manifestName,
      range: {
        start: { line: range.line - 1, character: range.column - 1 },
        end: { line: range.endLine - 1, character: range.endColumn - 1 },
      },
      measured: draft.measured ?? null,
      limit: draft.limit ?? null,
      remedies: [],
    };
  });
}

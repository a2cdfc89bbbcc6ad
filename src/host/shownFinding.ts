import type { Finding, ReportedRemedy, Severity } from '../core/kit/finding.ts';
import type { FindingCode } from '../core/kit/findingTable.ts';
import { shiftRange, type TextChange, type TextRange } from './textShift.ts';

/** A finding as Problems shows it. `number` is null until the engine has numbered it. */
export interface ShownFinding {
  readonly number: number | null;
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly part: string | null;
  readonly message: string;
  /** Relative to the kit folder. */
  readonly file: string;
  readonly range: TextRange;
  readonly measured: number | null;
  readonly limit: number | null;
  readonly remedies: readonly ReportedRemedy[];
}

export function shownFromReport(finding: Finding): ShownFinding {
  return {
    number: finding.number,
    code: finding.code,
    severity: finding.severity,
    part: finding.part,
    message: finding.message,
    file: finding.file,
    range: {
      start: { line: finding.line - 1, character: finding.column - 1 },
      end: { line: finding.end_line - 1, character: finding.end_column - 1 },
    },
    measured: finding.measured,
    limit: finding.limit,
    remedies: finding.remedies,
  };
}

/**
 * What of the engine's report only the engine can say: its findings without those that the text
 * rules found too. The text rules are run again at every keystroke, so keeping both would show a
 * finding twice while the next report is awaited.
 */
export function measuredFindings(
  report: readonly ShownFinding[],
  text: readonly ShownFinding[],
): readonly ShownFinding[] {
  const said = new Set(text.map(identity));
  return report.filter((finding) => !said.has(identity(finding)));
}

/** The findings after edits: moved along with their text, and dropped where that text was edited. */
export function afterEdits(
  findings: readonly ShownFinding[],
  file: string,
  changes: readonly TextChange[],
): readonly ShownFinding[] {
  return findings.flatMap((finding) => {
    if (finding.file !== file) return [finding];
    const range = changes.reduce<TextRange | null>(
      (moved, change) => (moved === null ? null : shiftRange(moved, change)),
      finding.range,
    );
    return range === null ? [] : [{ ...finding, range }];
  });
}

function identity(finding: ShownFinding): string {
  const { start } = finding.range;
  return [finding.code, finding.file, start.line, start.character, finding.part ?? ''].join('|');
}

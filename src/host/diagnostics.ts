import * as vscode from 'vscode';
import type { Severity } from '../core/kit/finding.ts';
import { commandIds, manifestName } from './ids.ts';
import type { Kit } from './kits.ts';
import type { ShownFinding } from './shownFinding.ts';

export const diagnosticSource = 'Kitwright';

const severities: Record<Severity, vscode.DiagnosticSeverity> = {
  error: vscode.DiagnosticSeverity.Error,
  warning: vscode.DiagnosticSeverity.Warning,
  info: vscode.DiagnosticSeverity.Information,
};

/** The one place where findings become Problems. */
export class DiagnosticsService implements vscode.Disposable {
  readonly #collection = vscode.languages.createDiagnosticCollection('kitwright');
  readonly #shown = new Map<string, readonly ShownFinding[]>();
  readonly #files = new Map<string, readonly vscode.Uri[]>();
  readonly #changed = new vscode.EventEmitter<Kit>();
  readonly onDidChange = this.#changed.event;

  /** What Problems shows of the kit now. */
  of(kit: Kit): readonly ShownFinding[] {
    return this.#shown.get(kit.uri.toString()) ?? [];
  }

  /** Files that keep findings are set anew without being cleared first: a gap would flicker. */
  publish(kit: Kit, findings: readonly ShownFinding[]): void {
    const files = [...new Set(findings.map((finding) => finding.file))];
    const uris = files.map((file) => vscode.Uri.joinPath(kit.uri, '..', file));
    this.#clearFiles(kit.uri, new Set(uris.map(String)));
    for (const [index, uri] of uris.entries()) {
      const ofFile = findings.filter((finding) => finding.file === files[index]);
      this.#collection.set(
        uri,
        ofFile.map((finding) => toDiagnostic(finding, kit)),
      );
    }
    this.#files.set(kit.uri.toString(), uris);
    this.#shown.set(kit.uri.toString(), findings);
    this.#changed.fire(kit);
  }

  clear(kit: Kit): void {
    this.#clearFiles(kit.uri, new Set());
    this.#shown.delete(kit.uri.toString());
    this.#changed.fire(kit);
  }

  dispose(): void {
    this.#collection.dispose();
    this.#changed.dispose();
  }

  #clearFiles(manifest: vscode.Uri, kept: ReadonlySet<string>): void {
    for (const uri of this.#files.get(manifest.toString()) ?? []) {
      if (!kept.has(uri.toString())) this.#collection.delete(uri);
    }
    this.#files.delete(manifest.toString());
  }
}

function toDiagnostic(finding: ShownFinding, kit: Kit): vscode.Diagnostic {
  const diagnostic = new vscode.Diagnostic(
    toRange(finding),
    flagged(finding.number, finding.message),
    severities[finding.severity],
  );
  diagnostic.source = diagnosticSource;
  diagnostic.code = { value: finding.code, target: explainUri(finding.code) };
  const related = relatedPlace(finding, kit);
  if (related !== null) diagnostic.relatedInformation = [related];
  return diagnostic;
}

/** `[3] …`: the number of the flag on the turntable. */
export function flagged(number: number | null, message: string): string {
  return number === null ? message : `[${number}] ${message}`;
}

export function explainUri(code: string): vscode.Uri {
  return commandUri(commandIds.explainFinding, [code]);
}

export function commandUri(command: string, args: readonly unknown[]): vscode.Uri {
  return vscode.Uri.parse(`command:${command}?${encodeURIComponent(JSON.stringify(args))}`);
}

export function toRange(finding: ShownFinding): vscode.Range {
  const { start, end } = finding.range;
  return new vscode.Range(start.line, start.character, end.line, end.character);
}

/** A finding that does not name its part gets the part's own line, which Problems can jump to. */
function relatedPlace(finding: ShownFinding, kit: Kit): vscode.DiagnosticRelatedInformation | null {
  if (finding.part === null || finding.file !== manifestName) return null;
  if (finding.message.includes(finding.part)) return null;
  const key = kit.parsed.rangeOf(['parts', finding.part], true);
  if (key.line - 1 === finding.range.start.line) return null;
  const range = new vscode.Range(key.line - 1, key.column - 1, key.endLine - 1, key.endColumn - 1);
  return new vscode.DiagnosticRelatedInformation(new vscode.Location(kit.uri, range), `part ${finding.part}`);
}

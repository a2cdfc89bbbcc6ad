import * as vscode from 'vscode';
import { hoverAt } from '../../core/kit/hover.ts';
import { manifestSelector } from '../../host/manifestSelector.ts';
import { type PartSpan, partSpans } from '../../host/partSpans.ts';
import type { Services } from '../../host/services.ts';
import { partHover } from './partHover.ts';

/** What a key means; over a part's name its figures, its flags and the way to the turntable. */
export function registerHover({ kits, diagnostics }: Services): vscode.Disposable {
  const provider: vscode.HoverProvider = {
    provideHover(document, position) {
      const kit = kits.get(document.uri);
      if (kit === null || kit.text !== document.getText()) return null;
      const offset = document.offsetAt(position);
      const onKey = ({ key }: PartSpan) => key.start <= offset && offset <= key.end;
      const part = partSpans(kit.parsed.tree).find(onKey);
      if (part !== undefined) {
        const range = rangeOf(document, part.key.start, part.key.end);
        return new vscode.Hover(partHover(kit, part.name, diagnostics.of(kit)), range);
      }
      const said = hoverAt(kit.text, offset);
      if (said === null) return null;
      const range = rangeOf(document, said.range.start, said.range.end);
      return new vscode.Hover(new vscode.MarkdownString(said.markdown), range);
    },
  };
  return vscode.languages.registerHoverProvider(manifestSelector, provider);
}

function rangeOf(document: vscode.TextDocument, start: number, end: number): vscode.Range {
  return new vscode.Range(document.positionAt(start), document.positionAt(end));
}

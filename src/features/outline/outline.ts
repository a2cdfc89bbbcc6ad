import * as vscode from 'vscode';
import { manifestSelector } from '../../host/manifestSelector.ts';
import { openingsOf, type PartSpan, partSpans } from '../../host/partSpans.ts';
import type { Services } from '../../host/services.ts';

/** Parts and their openings in the outline, so that “Go to Symbol” finds them. */
export function registerOutline({ kits }: Services): vscode.Disposable {
  const provider: vscode.DocumentSymbolProvider = {
    provideDocumentSymbols(document) {
      const kit = kits.get(document.uri);
      if (kit === null || kit.text !== document.getText()) return [];
      return partSpans(kit.parsed.tree).map((span) => partSymbol(document, span));
    },
  };
  return vscode.languages.registerDocumentSymbolProvider(manifestSelector, provider, { label: 'Kitwright' });
}

function partSymbol(document: vscode.TextDocument, span: PartSpan): vscode.DocumentSymbol {
  const range = rangeOf(document, span.start, Math.max(span.value.end, span.key.end));
  const key = rangeOf(document, span.key.start, span.key.end);
  const symbol = new vscode.DocumentSymbol(span.name, 'part', vscode.SymbolKind.Class, range, key);
  symbol.children = openingsOf(span).map((opening) => {
    const where = rangeOf(document, opening.start, opening.end);
    return new vscode.DocumentSymbol(opening.id, '', vscode.SymbolKind.Field, where, where);
  });
  return symbol;
}

function rangeOf(document: vscode.TextDocument, start: number, end: number): vscode.Range {
  return new vscode.Range(document.positionAt(start), document.positionAt(end));
}

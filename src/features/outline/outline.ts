import * as vscode from 'vscode';
import type { Tree, TreeEntry } from '../../core/kit/readTree.ts';
import { manifestSelector } from '../../host/manifestSelector.ts';
import { type PartSpan, partSpans } from '../../host/partSpans.ts';
import type { Services } from '../../host/services.ts';

const openingLists = ['vents', 'drains', 'tubes'];

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
  symbol.children = openingSymbols(document, span.value);
  return symbol;
}

function openingSymbols(document: vscode.TextDocument, part: Tree): vscode.DocumentSymbol[] {
  if (part.kind !== 'map') return [];
  const lists = [...part.entries].filter(([name, entry]) => openingLists.includes(name) && !entry.merged);
  return lists.flatMap(([name, entry]) => entrySymbols(document, name, entry));
}

function entrySymbols(
  document: vscode.TextDocument,
  list: string,
  entry: TreeEntry,
): vscode.DocumentSymbol[] {
  if (entry.value.kind !== 'list') return [];
  return entry.value.items.map((item, index) => {
    const range = rangeOf(document, item.start, item.end);
    return new vscode.DocumentSymbol(`${list}/${index}`, '', vscode.SymbolKind.Field, range, range);
  });
}

function rangeOf(document: vscode.TextDocument, start: number, end: number): vscode.Range {
  return new vscode.Range(document.positionAt(start), document.positionAt(end));
}

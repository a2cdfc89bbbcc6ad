import * as vscode from 'vscode';
import { type Completion, completeAt } from '../../core/kit/complete.ts';
import { manifestSelector } from '../../host/manifestSelector.ts';
import { partFiles } from '../../host/partFiles.ts';
import type { Services } from '../../host/services.ts';

const kinds: Record<Completion['kind'], vscode.CompletionItemKind> = {
  key: vscode.CompletionItemKind.Property,
  value: vscode.CompletionItemKind.Value,
  file: vscode.CompletionItemKind.File,
  resin: vscode.CompletionItemKind.Reference,
  part: vscode.CompletionItemKind.Reference,
  template: vscode.CompletionItemKind.Snippet,
};

/** Keys, part files, resins and openings, as they may be written where the cursor stands. */
export function registerCompletion({ kits }: Services): vscode.Disposable {
  const provider: vscode.CompletionItemProvider = {
    async provideCompletionItems(document, position, token) {
      const kit = kits.get(document.uri);
      if (kit === null) return [];
      const files = await partFiles(kit, token);
      if (token.isCancellationRequested) return [];
      const completions = completeAt(document.getText(), document.offsetAt(position), { files });
      return completions.map((completion, index) => toItem(document, completion, index));
    },
  };
  return vscode.languages.registerCompletionItemProvider(manifestSelector, provider, ':', ' ', '/');
}

function toItem(document: vscode.TextDocument, completion: Completion, index: number): vscode.CompletionItem {
  const item = new vscode.CompletionItem(completion.label, kinds[completion.kind]);
  item.insertText = new vscode.SnippetString(completion.snippet);
  item.detail = completion.detail;
  item.documentation = new vscode.MarkdownString(completion.documentation);
  item.range = new vscode.Range(document.positionAt(completion.start), document.positionAt(completion.end));
  item.sortText = String(index).padStart(4, '0');
  return item;
}

import * as vscode from 'vscode';
import type { Kit, KitService } from './kits.ts';
import { type PartSpan, partSpans } from './partSpans.ts';

/** What a command link or lens names: a manifest's URI as text, and a part of it. */
export interface KitTarget {
  readonly kit: string;
  readonly part: string | null;
}

export interface ResolvedTarget {
  readonly kit: Kit;
  readonly part: string | null;
}

export function targetOf(kit: Kit, part: string | null): KitTarget {
  return { kit: kit.uri.toString(), part };
}

/**
 * The kit and part a command is about: named by a link or a menu, else those of the active editor.
 * Arguments come from links that anyone can write, so their shape is checked.
 */
export function resolveTarget(kits: KitService, argument: unknown): ResolvedTarget | null {
  if (argument instanceof vscode.Uri) {
    const kit = kits.get(argument) ?? kits.holding(argument);
    return kit === null ? null : { kit, part: partAtCursor(kit) };
  }
  if (isTarget(argument)) {
    const kit = kits.get(vscode.Uri.parse(argument.kit));
    return kit === null ? null : { kit, part: argument.part };
  }
  const kit = kits.active();
  return kit === null ? null : { kit, part: partAtCursor(kit) };
}

/** The part whose lines hold the cursor of a visible editor of the manifest. */
export function partAtCursor(kit: Kit): string | null {
  const uri = kit.uri.toString();
  const active = vscode.window.activeTextEditor;
  const editors =
    active === undefined ? vscode.window.visibleTextEditors : [active, ...vscode.window.visibleTextEditors];
  const editor = editors.find((candidate) => candidate.document.uri.toString() === uri);
  return editor === undefined ? null : partAtOffset(kit, editor.document.offsetAt(editor.selection.active));
}

export function partAtOffset(kit: Kit, offset: number): string | null {
  const holds = (span: PartSpan) => span.start <= offset && offset <= span.end;
  return partSpans(kit.parsed.tree).find(holds)?.name ?? null;
}

function isTarget(argument: unknown): argument is KitTarget {
  if (typeof argument !== 'object' || argument === null || !('kit' in argument)) return false;
  const part = 'part' in argument ? argument.part : null;
  return typeof argument.kit === 'string' && (part === null || typeof part === 'string');
}

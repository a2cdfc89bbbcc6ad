import * as vscode from 'vscode';
import type { Kit } from './kits.ts';

/** Lets the person choose a part of a kit; undefined when nothing was chosen. */
export async function askForPart(kit: Kit, title: string): Promise<string | undefined> {
  const items = kit.parts.map((part) => ({ label: part.name, description: part.file ?? '' }));
  return (await vscode.window.showQuickPick(items, { title }))?.label;
}

import * as vscode from 'vscode';
import { type ResolvedTarget, resolveTarget } from './kitTarget.ts';
import type { Services } from './services.ts';

/** The kit a command is about; null when there is none, which has been told then. */
export function targetOrTell(kits: Services['kits'], argument: unknown): ResolvedTarget | null {
  const target = resolveTarget(kits, argument);
  if (target === null) void vscode.window.showInformationMessage('Open a folder with a kit.yaml first.');
  return target;
}

import * as vscode from 'vscode';
import { commandIds } from '../../host/ids.ts';
import type { Services } from '../../host/services.ts';

export function registerShowLog({ log }: Services): vscode.Disposable {
  return vscode.commands.registerCommand(commandIds.showLog, () => log.show(true));
}

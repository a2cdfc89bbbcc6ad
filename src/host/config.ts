import * as vscode from 'vscode';
import { type SettingId, settingIds } from './ids.ts';

export interface Config {
  readonly checkLive: boolean;
  readonly checkDelayMs: number;
  readonly codeLens: boolean;
  readonly followCursor: boolean;
}

export function readConfig(): Config {
  const settings = vscode.workspace.getConfiguration();
  return {
    checkLive: settings.get<boolean>(settingIds.checkLive, true),
    checkDelayMs: Math.min(Math.max(settings.get<number>(settingIds.checkDelay, 400), 100), 5000),
    codeLens: settings.get<boolean>(settingIds.codeLens, true),
    followCursor: settings.get<boolean>(settingIds.followCursor, true),
  };
}

export function onSetting(id: SettingId, listener: () => void): vscode.Disposable {
  return vscode.workspace.onDidChangeConfiguration((event) => {
    if (event.affectsConfiguration(id)) listener();
  });
}

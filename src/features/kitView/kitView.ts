import * as vscode from 'vscode';
import { Disposables } from '../../host/disposables.ts';
import { commandIds, viewTypes } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';
import { webviewRoots } from '../../host/webviewHtml.ts';
import { KitPanel } from './kitPanel.ts';

/** One page of the whole figure per kit; it survives a reload. */
export function registerKitView(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const panels = new Map<string, KitPanel>();
  const of = (kit: Kit): KitPanel | undefined => panels.get(kit.uri.toString());
  disposables.add(
    vscode.commands.registerCommand(commandIds.showKit, (argument: unknown) => {
      const target = targetOrTell(services.kits, argument);
      if (target === null) return;
      const open = of(target.kit);
      if (open === undefined) create(services, panels, target.kit);
      else open.reveal();
    }),
  );
  disposables.add(
    vscode.window.registerWebviewPanelSerializer(viewTypes.kit, {
      deserializeWebviewPanel: (panel) => restore(services, panels, panel),
    }),
  );
  const { kits } = services;
  disposables.add(kits.onDidChange(({ kit }) => of(kit)?.changed(false)));
  disposables.add(kits.onDidChangePartFile((kit) => of(kit)?.changed(true)));
  disposables.add(kits.onDidAdd((kit) => of(kit)?.kitIsBack(kit)));
  disposables.add(kits.onDidRemove((kit) => of(kit)?.kitIsGone()));
  disposables.add(
    vscode.workspace.onDidGrantWorkspaceTrust(() => {
      for (const panel of panels.values()) panel.changed(true);
    }),
  );
  disposables.add({
    dispose() {
      for (const panel of [...panels.values()]) panel.dispose();
    },
  });
  return disposables;
}

function create(services: Services, panels: Map<string, KitPanel>, kit: Kit): void {
  const beside = { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true };
  const webview = vscode.window.createWebviewPanel(viewTypes.kit, 'Kit', beside, {
    enableScripts: true,
    localResourceRoots: webviewRoots(services.context.extensionUri),
  });
  adopt(services, panels, kit, webview);
}

/** The kit is known by the panel's title, which VS Code keeps. */
async function restore(
  services: Services,
  panels: Map<string, KitPanel>,
  webview: vscode.WebviewPanel,
): Promise<void> {
  await services.kits.found;
  const remembered = KitPanel.remembered(services.context, webview.title);
  const kit = remembered === null ? null : services.kits.get(vscode.Uri.parse(remembered));
  if (kit === null || panels.has(kit.uri.toString())) return webview.dispose();
  adopt(services, panels, kit, webview);
}

function adopt(
  services: Services,
  panels: Map<string, KitPanel>,
  kit: Kit,
  webview: vscode.WebviewPanel,
): void {
  const key = kit.uri.toString();
  const panel = new KitPanel(services, webview, kit);
  panels.set(key, panel);
  webview.onDidDispose(() => {
    if (panels.get(key) === panel) panels.delete(key);
    panel.dispose();
  });
}

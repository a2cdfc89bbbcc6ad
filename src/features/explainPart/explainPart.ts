import * as vscode from 'vscode';
import { askForPart } from '../../host/askForPart.ts';
import { Disposables } from '../../host/disposables.ts';
import { failureOf, failureText } from '../../host/failureText.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { resolveTarget } from '../../host/kitTarget.ts';
import type { Services } from '../../host/services.ts';
import { withEngineProgress } from '../../host/withEngineProgress.ts';
import { ExplainedParts } from './explainedParts.ts';

/** Opens a part's explanation as a rendered Markdown document; asked for again, it is made anew. */
export function registerExplainPart(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  const explained = disposables.add(new ExplainedParts(services));
  disposables.add(
    vscode.commands.registerCommand(commandIds.explainPart, async (argument: unknown) => {
      const target = resolveTarget(services.kits, argument);
      if (target === null) {
        void vscode.window.showInformationMessage('Open a folder with a kit.yaml first.');
        return;
      }
      const part = target.part ?? (await askForPart(target.kit, 'Explain which part?'));
      if (part !== undefined) await explain(services, explained, target.kit, part);
    }),
  );
  return disposables;
}

async function explain(services: Services, explained: ExplainedParts, kit: Kit, part: string): Promise<void> {
  if (!services.engine.allowed) {
    void vscode.window.showInformationMessage('This folder is not trusted, so its parts are not read.');
    return;
  }
  try {
    const { markdown } = await withEngineProgress(`Explaining ${part}`, (signal, onProgress) =>
      services.engine.call('explain', { ...kit.source, part, noCache: false }, { signal, onProgress }),
    );
    await show(services, explained.put(kit, part, markdown));
  } catch (error) {
    const failure = failureOf(error);
    if (failure === null) return;
    services.log.error(`${kit.dir}: ${failure.code}: ${failure.message}`);
    void vscode.window.showErrorMessage(failureText(failure));
  }
}

async function show({ log }: Services, uri: vscode.Uri): Promise<void> {
  try {
    await vscode.commands.executeCommand('markdown.showPreview', uri);
  } catch (error) {
    log.warn(`The Markdown preview is not available: ${error}`);
    await vscode.window.showTextDocument(uri, { preview: true });
  }
}

import path from 'node:path';
import * as vscode from 'vscode';
import { closingCaution } from '../../core/kit/closingCaution.ts';
import { askForPart } from '../../host/askForPart.ts';
import { Disposables } from '../../host/disposables.ts';
import { failureOf, failureText } from '../../host/failureText.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { resolveTarget } from '../../host/kitTarget.ts';
import type { Services } from '../../host/services.ts';
import { withEngineProgress } from '../../host/withEngineProgress.ts';
import type { ReadyReport } from '../../protocol/engineApi.ts';

/** Writes ready meshes for one part or for all, with progress, a cancel and the reasons of a refusal. */
export function registerMakeReady(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  disposables.add(
    vscode.commands.registerCommand(commandIds.makeReady, async (argument: unknown) => {
      const target = resolveTarget(services.kits, argument);
      if (target === null) return tellNoKit();
      const part = target.part ?? (await askForPart(target.kit, 'Make which part ready?'));
      if (part !== undefined) await makeReady(services, target.kit, [part], false);
    }),
  );
  disposables.add(
    vscode.commands.registerCommand(commandIds.makeAllReady, async (argument: unknown) => {
      const target = resolveTarget(services.kits, argument);
      if (target === null) return tellNoKit();
      await makeReady(services, target.kit, null, false);
    }),
  );
  return disposables;
}

function tellNoKit(): void {
  void vscode.window.showInformationMessage('Open a folder with a kit.yaml first.');
}

async function makeReady(
  services: Services,
  kit: Kit,
  parts: readonly string[] | null,
  evenWithErrors: boolean,
): Promise<void> {
  if (!services.engine.allowed) {
    void vscode.window.showInformationMessage('This folder is not trusted, so nothing is written into it.');
    return;
  }
  const what = parts === null ? 'all parts' : parts.join(', ');
  try {
    const report = await withEngineProgress(`Making ${what} ready`, (signal, onProgress) =>
      services.engine.call(
        'makeReady',
        { ...kit.source, parts, out: null, format: 'stl', evenWithErrors, noCache: false },
        { signal, onProgress },
      ),
    );
    services.log.info(`Wrote ${report.written.map((file) => file.file).join(', ') || 'nothing'}.`);
    await tell(services, kit, report);
  } catch (error) {
    const failure = failureOf(error);
    if (failure === null) return;
    services.log.error(`${kit.dir}: ${failure.code}: ${failure.message}`);
    const showLog = 'Show Log';
    const answer = await vscode.window.showErrorMessage(failureText(failure), showLog);
    if (answer === showLog) services.log.show(true);
  }
}

async function tell(services: Services, kit: Kit, report: ReadyReport): Promise<void> {
  await Promise.all([tellWritten(report), tellRefused(services, kit, report)]);
}

async function tellWritten({ written }: ReadyReport): Promise<void> {
  const [first] = written;
  if (first === undefined) return;
  const message =
    written.length === 1
      ? `${first.part} is ready: ${path.basename(first.file)}, ${first.volume_ml.toFixed(1)} ml, ${first.triangles} triangles.`
      : `${written.length} ready meshes are in ${path.dirname(first.file)}.`;
  const closed = written.some(({ stoppers }) => stoppers !== null);
  const stoppers = closed ? [`The stoppers of the openings lie beside. ${closingCaution}`] : [];
  const notes = new Set(written.flatMap((file) => file.notes.map((note) => `${file.part}: ${note}`)));
  const reveal = 'Reveal';
  if (
    (await vscode.window.showInformationMessage([message, ...stoppers, ...notes].join(' '), reveal)) !==
    reveal
  )
    return;
  await vscode.commands.executeCommand('revealInExplorer', vscode.Uri.file(first.file));
}

async function tellRefused(services: Services, kit: Kit, { refused }: ReadyReport): Promise<void> {
  const [first] = refused;
  if (first === undefined) return;
  for (const { part, message } of refused) services.log.warn(`${part} was not written: ${message}`);
  const names = refused.map(({ part }) => part).join(', ');
  const message =
    refused.length === 1
      ? `${first.part} was not written: ${first.message}`
      : `${refused.length} parts were not written because of errors that Problems lists: ${names}.`;
  const [problems, anyway] = ['Open Problems', 'Make Ready Anyway'];
  const answer = await vscode.window.showWarningMessage(message, problems, anyway);
  if (answer === problems) await vscode.commands.executeCommand('workbench.actions.view.problems');
  if (answer === anyway) {
    const parts = refused.map(({ part }) => part);
    await makeReady(services, kit, parts, true);
  }
}

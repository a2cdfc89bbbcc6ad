import path from 'node:path';
import * as vscode from 'vscode';
import { closingCaution } from '../../core/kit/closingCaution.ts';
import { askEngine } from '../../host/askEngine.ts';
import { Disposables } from '../../host/disposables.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';
import { targetOrTell } from '../../host/targetOrTell.ts';
import type { ReadyReport } from '../../protocol/engineApi.ts';

/** Writes ready meshes for one part or for all, with progress, a cancel and the reasons of a refusal. */
export function registerMakeReady(services: Services): vscode.Disposable {
  const disposables = new Disposables();
  disposables.add(
    registerPartCommand(services, commandIds.makeReady, 'Make which part ready?', (kit, part) =>
      makeReady(services, kit, [part], false),
    ),
  );
  disposables.add(
    vscode.commands.registerCommand(commandIds.makeAllReady, async (argument: unknown) => {
      const target = targetOrTell(services.kits, argument);
      if (target !== null) await makeReady(services, target.kit, null, false);
    }),
  );
  return disposables;
}

async function makeReady(
  services: Services,
  kit: Kit,
  parts: readonly string[] | null,
  evenWithErrors: boolean,
): Promise<void> {
  const what = parts === null ? 'all parts' : parts.join(', ');
  const report = await askEngine(services, kit, `Making ${what} ready`, (signal, onProgress) =>
    services.engine.call(
      'makeReady',
      {
        ...kit.source,
        parts,
        out: null,
        format: 'stl',
        held: 'apart',
        plates: null,
        evenWithErrors,
        noCache: false,
      },
      { signal, onProgress },
    ),
  );
  if (report === undefined) return;
  services.log.info(`Wrote ${report.written.map((file) => file.file).join(', ') || 'nothing'}.`);
  await tell(services, kit, report);
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
  const held = written.some(({ supports }) => supports !== null);
  const supports = held ? ['Supports and raft lie beside, in the same place on the plate.'] : [];
  const notes = new Set(written.flatMap((file) => file.notes.map((note) => `${file.part}: ${note}`)));
  const reveal = 'Reveal';
  if (
    (await vscode.window.showInformationMessage(
      [message, ...stoppers, ...supports, ...notes].join(' '),
      reveal,
    )) !== reveal
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

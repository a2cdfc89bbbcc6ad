import path from 'node:path';
import * as vscode from 'vscode';
import { askEngine } from '../../host/askEngine.ts';
import { commandIds } from '../../host/ids.ts';
import type { Kit } from '../../host/kits.ts';
import { registerPartCommand } from '../../host/registerPartCommand.ts';
import type { Services } from '../../host/services.ts';

/** Writes a small piece of a part round its worst region, and says what to look for in the print. */
export function registerProofPiece(services: Services): vscode.Disposable {
  return registerPartCommand(services, commandIds.proofPiece, 'A proof piece of which part?', (kit, part) =>
    makePiece(services, kit, part),
  );
}

async function makePiece(services: Services, kit: Kit, part: string): Promise<void> {
  const report = await askEngine(services, kit, `Cutting a proof piece of ${part}`, (signal, onProgress) =>
    services.engine.call(
      'proof',
      { ...kit.source, part, ask: null, size: null, out: null, format: 'stl', noCache: false },
      { signal, onProgress },
    ),
  );
  if (report === undefined) return;
  const { file, volume_ml, layers, hours, why, look, notes } = report;
  services.log.info([`Wrote ${file}.`, ...notes].join(' '));
  const figures = `${path.basename(file)}: ${volume_ml.toFixed(1)} ml, ${layers} layers, ${hours.toFixed(1)} h.`;
  const reveal = 'Reveal';
  const showNotes = 'Show Notes';
  const buttons = notes.length === 0 ? [reveal] : [reveal, showNotes];
  const answer = await vscode.window.showInformationMessage([figures, why, look].join(' '), ...buttons);
  if (answer === showNotes) services.log.show(true);
  if (answer === reveal) await vscode.commands.executeCommand('revealInExplorer', vscode.Uri.file(file));
}

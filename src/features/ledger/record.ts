import * as vscode from 'vscode';
import { changesDocument } from '../../core/kit/ledger/changesDocument.ts';
import { changeText } from '../../core/kit/ledger/compareLedgers.ts';
import { readLedger } from '../../core/kit/ledger/readLedger.ts';
import { plural } from '../../core/kit/rules/figures.ts';
import { askEngine } from '../../host/askEngine.ts';
import type { Kit } from '../../host/kits.ts';
import type { Services } from '../../host/services.ts';
import { showMarkdown } from '../../host/showMarkdown.ts';
import type { RecordedKit } from '../../protocol/engineApi.ts';
import type { ChangesDocuments } from './changesDocuments.ts';

/** Writes `ledger.yaml` from the manifest as saved, and tells what has changed. */
export async function record(services: Services, documents: ChangesDocuments, kit: Kit): Promise<void> {
  if (!(await savedManifest(kit))) return;
  const recorded = await askEngine(services, kit, 'Recording the ledger', (signal, onProgress) =>
    services.engine.call('record', { ...kit.source, write: true, noCache: false }, { signal, onProgress }),
  );
  if (recorded !== undefined) await tell(services, documents, kit, recorded);
}

/** What is recorded is committed beside the manifest, so both have to say the same. False: the builder would rather not. */
async function savedManifest(kit: Kit): Promise<boolean> {
  const document = await vscode.workspace.openTextDocument(kit.uri);
  if (!document.isDirty) return true;
  const save = 'Save and Record';
  const question = 'kit.yaml has changes that are not saved. The ledger is recorded from the saved file.';
  if ((await vscode.window.showInformationMessage(question, save)) !== save) return false;
  return document.save();
}

async function tell(
  services: Services,
  documents: ChangesDocuments,
  kit: Kit,
  { kit: name, changes, was, text }: RecordedKit,
): Promise<void> {
  for (const change of changes ?? []) services.log.info(changeText(change, name));
  const before = was === null ? null : readLedger(was);
  const after = readLedger(text);
  if (!before?.ok || !after.ok || changes === null || changes.length === 0) {
    void vscode.window.showInformationMessage(
      changes === null
        ? 'ledger.yaml is recorded for the first time. Commit it beside kit.yaml.'
        : 'ledger.yaml: nothing has changed.',
    );
    return;
  }
  const more = changes.length - 1;
  const first = changeText(changes[0]!, name);
  const show = 'Show Changes';
  const told = `ledger.yaml is recorded. ${first}${more > 0 ? `; and ${plural(more, 'more change')}` : ''}`;
  if ((await vscode.window.showInformationMessage(told, show)) !== show) return;
  const names = { from: 'the ledger before', to: 'the ledger as recorded' };
  await showMarkdown(
    services,
    documents.put(kit, 'Recorded', changesDocument(before.value, after.value, names)),
  );
}

import { expect, it, vi } from 'vitest';
import type { Kit } from '../../../src/host/kits.ts';
import { closedDocument, Uri } from './vscodeStandIn.ts';

vi.mock('vscode', () => import('./vscodeStandIn.ts'));
const { ChangesDocuments } = await import('../../../src/features/ledger/changesDocuments.ts');

const kit = { uri: Uri.file('/figure/kit.yaml') } as unknown as Kit;

it('keeps a comparison whose text document was closed, for the preview that shows it', () => {
  const documents = new ChangesDocuments();
  const uri = documents.put(kit, 'v1 → v2', '# What changed');
  closedDocument.fire({ uri: uri as unknown as Uri });
  expect(documents.provideTextDocumentContent(uri)).toBe('# What changed');
});

it('keeps the latest twenty comparisons, one made again among them', () => {
  const documents = new ChangesDocuments();
  const put = (n: number) => documents.put(kit, `v${n} → v0`, `text ${n}`);
  const uris = Array.from({ length: 20 }, (_, n) => put(n));
  put(0);
  put(20);
  const kept = uris.map((uri) => documents.provideTextDocumentContent(uri).startsWith('text'));
  expect(kept).toEqual(uris.map((_, n) => n !== 1));
});

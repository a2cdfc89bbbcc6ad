import { expect, it, vi } from 'vitest';
import type { Services } from '../../../src/host/services.ts';
import { RpcError } from '../../../src/protocol/rpc.ts';
import { Uri } from './vscodeStandIn.ts';

vi.mock('vscode', () => import('./vscodeStandIn.ts'));
const { ToldDocuments } = await import('../../../src/host/toldDocuments.ts');

it('shows a failure as it reads, whatever the file it names is called', async () => {
  const services = {
    kits: { found: Promise.resolve(), get: () => ({}) },
    engine: { allowed: true },
  } as unknown as Services;
  const documents = new ToldDocuments(services, 'told', async () => {
    throw new RpcError({ code: 'file-unreadable', message: 'Cannot read ![arm](https://x.example/a.png).' });
  });
  const uri = Uri.from({ scheme: 'told', path: '/arm.md', query: 'file:///figure/kit.yaml' });
  const token = { onCancellationRequested: () => ({ dispose: () => {} }) };
  const text = await documents.provideTextDocumentContent(
    uri as unknown as Parameters<typeof documents.provideTextDocumentContent>[0],
    token as unknown as Parameters<typeof documents.provideTextDocumentContent>[1],
  );
  expect(text).toBe(String.raw`Cannot read \!\[arm\](https\://x\.example/a\.png). (file-unreadable)`);
});

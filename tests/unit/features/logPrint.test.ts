import { beforeEach, expect, it, vi } from 'vitest';
import type { Services } from '../../../src/host/services.ts';
import { registered, Uri, window } from './vscodeStandIn.ts';

vi.mock('vscode', () => import('./vscodeStandIn.ts'));
vi.mock('../../../src/host/withEngineProgress.ts', () => ({
  withEngineProgress: (_: string, ask: (signal: AbortSignal) => Promise<unknown>) =>
    ask(new AbortController().signal),
}));
const { registerLogPrint } = await import('../../../src/features/journal/logPrint.ts');

const kit = { uri: Uri.file('/figure/kit.yaml'), dir: '/figure', source: {} };
const call = vi.fn(async (_method: string, _params: object) => ({ file: '/figure/journal.yaml' }));
const services = {
  kits: { get: () => kit },
  engine: { allowed: true, call },
} as unknown as Services;

/** Options that the questions were asked with. */
const asked: object[] = [];

/** Asks about a print that failed; `file` is what comes out of the file dialog. */
async function log(photo: string | undefined, file: readonly Uri[] | undefined): Promise<void> {
  window['showQuickPick'] = async (items: readonly unknown[], options: { title: string }) => {
    asked.push(options);
    if (options.title === 'A photo of it') return photo;
    return (items as readonly { result: string }[]).find(({ result }) => result === 'failed');
  };
  window['showInputBox'] = async (options: { title: string }) => {
    asked.push(options);
    return options.title === 'In your words' ? 'It let go.' : '12';
  };
  window['showOpenDialog'] = async () => file;
  registerLogPrint(services);
  await registered.get('kitwright.logPrint')!({ kit: 'file:///figure/kit.yaml', part: 'arm' });
}

beforeEach(() => {
  call.mockClear();
  asked.length = 0;
});

it('keeps the answers where the file dialog is closed without a photo', async () => {
  await log('Choose a photo…', undefined);
  expect(call).toHaveBeenCalledOnce();
  expect(call.mock.calls[0]![1]).toMatchObject({
    part: 'arm',
    result: 'failed',
    layer: 12,
    words: 'It let go.',
    photo: null,
  });
});

it('logs the photo that was chosen, and nothing where the last question was left', async () => {
  await log('Choose a photo…', [Uri.file('/photos/arm.jpg')]);
  expect(call.mock.calls[0]![1]).toMatchObject({ photo: '/photos/arm.jpg' });
  await log(undefined, undefined);
  expect(call).toHaveBeenCalledOnce();
});

it('asks no question that goes away with the focus', async () => {
  await log('No photo', undefined);
  expect(asked).toHaveLength(4);
  for (const options of asked) expect(options).toMatchObject({ ignoreFocusOut: true });
});

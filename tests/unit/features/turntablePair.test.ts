import { beforeEach, expect, it, vi } from 'vitest';
import type { Ledger } from '../../../src/core/kit/ledger/ledger.ts';
import type { ChosenSides, Side } from '../../../src/features/ledger/chooseSides.ts';
import { ScratchFolders } from '../../../src/features/ledger/scratchFolders.ts';
import { Kit } from '../../../src/host/kits.ts';
import type { Services } from '../../../src/host/services.ts';
import type { ViewParams, ViewProgress } from '../../../src/protocol/engineApi.ts';
import type { Look } from '../../../src/protocol/look.ts';
import { connect, type RpcMessage } from '../../../src/protocol/rpc.ts';
import type { HostMethods, ViewState, WebviewMethods } from '../../../src/protocol/viewMessages.ts';
import { ballView } from '../../webview/partViews.ts';
import { EventEmitter, Uri, ViewColumn, window } from './vscodeStandIn.ts';

vi.mock('vscode', () => import('./vscodeStandIn.ts'));
const { TurntablePair } = await import('../../../src/features/ledger/turntablePair.ts');

const typed = 'kit: The Lamplighter\nparts:\n  lantern:\n    file: lantern.stl\n';
const committed = typed.replace('lantern.stl', 'old/lantern.stl');

/** A panel with a page in it that writes down what it is told. */
class Panel {
  static made: Panel[] = [];
  readonly visible = true;
  closed = false;
  readonly heard: unknown[] = [];
  readonly title: string;
  readonly column: number;
  readonly #gone = new EventEmitter<void>();
  readonly #toHost = new EventEmitter<RpcMessage>();
  readonly #toPage = new EventEmitter<RpcMessage>();
  readonly onDidDispose = this.#gone.event;
  readonly onDidChangeViewState = () => ({ dispose: () => {} });
  readonly webview = {
    asWebviewUri: (uri: Uri) => uri,
    postMessage: (message: RpcMessage) => this.#toPage.fire(message),
    onDidReceiveMessage: this.#toHost.event,
  };
  readonly page = connect<HostMethods, WebviewMethods>(
    {
      send: (message) => this.#toHost.fire(message),
      listen: (listener) => {
        const subscription = this.#toPage.event(listener);
        return () => subscription.dispose();
      },
    },
    {
      show: async (state) => this.#hear('show', outline(state)),
      standBeside: async (beside) => this.#hear('standBeside', beside),
      follow: async (look) => this.#hear('follow', look),
      surface: async () => null,
      revealFlag: async () => null,
      showPoses: async () => null,
      cutAtLayer: async () => null,
    },
  );

  constructor(_: string, title: string, { viewColumn }: { viewColumn: number }) {
    this.title = title;
    this.column = viewColumn;
    Panel.made.push(this);
  }

  #hear(method: string, what: unknown): null {
    this.heard.push([method, what]);
    return null;
  }

  dispose(): void {
    if (this.closed) return;
    this.closed = true;
    this.#gone.fire();
  }
}

const outline = (state: ViewState): string =>
  state.kind === 'view'
    ? `${state.view.part}${state.editable ? ', editable' : ''}`
    : state.kind === 'failure'
      ? state.error.code
      : state.kind;

const side = (revision: string | null, name: string, short: string): Side => ({
  revision,
  name,
  short,
  ledger: { kit: 'k', parts: {}, findings: {} } as Ledger,
});

function openPair() {
  const changes = new EventEmitter<{ kit: Kit; changes: null }>();
  const never = () => ({ dispose: () => {} });
  const call = vi.fn(
    async (
      _: string,
      __: ViewParams,
      { onProgress }: { signal: AbortSignal; onProgress: (progress: ViewProgress) => void },
    ) => onProgress({ kind: 'view', view: { ...ballView([]), flags: [] } }),
  );
  const services = {
    context: { extensionUri: Uri.file('/extension') },
    log: { error: vi.fn() },
    engine: { allowed: true, call },
    kits: { onDidChange: changes.event, onDidChangePartFile: never },
    diagnostics: { onDidChange: never, of: () => [] },
  } as unknown as Services;
  const uri = Uri.file('/figure/kit.yaml');
  const kit = new Kit(uri as unknown as Kit['uri'], typed);
  const repository = {
    show: async () => committed,
    buffer: async () => {
      throw new Error('not in git');
    },
    getObjectDetails: async () => ({ size: 0 }),
    log: async () => [],
    getRefs: async () => [],
  };
  const sides: ChosenSides = {
    repository,
    from: side('1a2b3c4d', '1a2b3c4d (as it was)', '1a2b3c4d'),
    to: side(null, 'ledger.yaml', 'in the folder'),
  };
  const changed = { part: 'lantern', changes: ['worst pull 41 → 9 N'] };
  const pair = new TurntablePair(services, new ScratchFolders(), kit, sides, changed);
  const [left, right] = Panel.made as [Panel, Panel];
  return { pair, left, right, call, changes, kit };
}

const orbit = (azimuth: number): Look => ({
  kind: 'orbit',
  orbit: { target: [0, 0, 35], distance: 120, azimuth, elevation: 0.2 },
});
const cut: Look = { kind: 'cut', cut: { by: 'layer', heightMm: 12 } };
const rest = () => vi.advanceTimersByTimeAsync(1_000);
const follows = ({ heard }: Panel) =>
  heard.flatMap((one) => ((one as [string, unknown])[0] === 'follow' ? [(one as [string, unknown])[1]] : []));

beforeEach(() => {
  vi.useFakeTimers();
  Panel.made = [];
  window['createWebviewPanel'] = (...args: ConstructorParameters<typeof Panel>) => new Panel(...args);
  return () => vi.useRealTimers();
});

it('opens the one compared from on the left and the other beside it, each named, both to be looked at only', async () => {
  const { left, right } = openPair();
  expect([left, right].map(({ title, column }) => [title, column])).toEqual([
    ['lantern: 1a2b3c4d', ViewColumn.Active],
    ['lantern: in the folder', ViewColumn.Beside],
  ]);
  await vi.waitFor(() => expect(left.page.call('ready', null)).resolves.toBeNull());
  await right.page.call('ready', null);
  await rest();
  const changes = ['worst pull 41 → 9 N'];
  expect(right.heard).toEqual([
    ['standBeside', { title: 'lantern: in the folder', changes, leads: false }],
    ['show', 'lantern'],
  ]);
  expect(left.heard[0]).toEqual([
    'standBeside',
    { title: 'lantern: 1a2b3c4d (as it was)', changes, leads: true },
  ]);
  await expect(right.page.call('putOpening', {} as never)).rejects.toThrow(/can be edited here/);
});

it('tells what is missing on the side that misses it; the other is shown', async () => {
  const { left, right } = openPair();
  for (const { page } of [left, right]) await page.call('ready', null);
  await vi.waitFor(async () => {
    await rest();
    expect(left.heard.at(-1)).toEqual(['show', 'file-missing']);
  });
  expect(right.heard.at(-1)).toEqual(['show', 'lantern']);
});

it('passes a look on to the other side, once, and again to a page that comes back', async () => {
  const { left, right } = openPair();
  for (const { page } of [left, right]) await page.call('ready', null);
  await left.page.call('looked', orbit(1));
  await right.page.call('looked', cut);
  await left.page.call('looked', orbit(2));
  await rest();
  expect(follows(right)).toEqual([orbit(1), orbit(2)]);
  expect(follows(left)).toEqual([cut]);
  // A new page in the place of one that was hidden: it has nothing, so it is told both.
  right.heard.length = 0;
  await right.page.call('ready', null);
  await rest();
  expect(follows(right)).toHaveLength(2);
  expect(follows(right)).toEqual(expect.arrayContaining([orbit(2), cut]));
});

it('computes what lies in the folder anew as it is edited, and the revision never', async () => {
  const { left, right, call, changes, kit } = openPair();
  for (const { page } of [left, right]) await page.call('ready', null);
  await rest();
  const asked = () => call.mock.calls.map(([, { source }]) => source.of === 'kit' && source.manifestText);
  expect(asked()).toEqual([typed]);
  const edited = `${typed}    raise: 3\n`;
  kit.setText(edited);
  changes.fire({ kit, changes: null });
  await rest();
  expect(asked()).toEqual([typed, edited]);
});

it('closes both when one is closed', () => {
  const { pair, left, right } = openPair();
  const closed = vi.fn();
  pair.onDidClose(closed);
  right.dispose();
  expect(left.closed).toBe(true);
  expect(closed).toHaveBeenCalledOnce();
});

import { beforeEach, expect, it, vi } from 'vitest';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { Kit } from '../../../src/host/kits.ts';
import type { Services } from '../../../src/host/services.ts';
import type { KitSource, KitSurfaceProgress } from '../../../src/protocol/engineApi.ts';
import type { KitHostMethods, KitPageMethods, KitViewState } from '../../../src/protocol/kitMessages.ts';
import { connect, type RpcMessage } from '../../../src/protocol/rpc.ts';
import type { SurfacePiece } from '../../../src/protocol/surfacePiece.ts';
import { EventEmitter, registered, Uri, window } from './vscodeStandIn.ts';

vi.mock('vscode', () => import('./vscodeStandIn.ts'));
const { registerKitView } = await import('../../../src/features/kitView/kitView.ts');

const address = Uri.file('/figure/kit.yaml');
const manifest = (...parts: readonly string[]): string =>
  ['kit: The Lamplighter', 'parts:', ...parts.map((name) => `  ${name}:\n    file: ${name}.stl`)].join('\n');
const newKit = (text: string): Kit => new Kit(address as unknown as Kit['uri'], text);

/** One piece is the whole surface. */
const surface = (key: string): SurfacePiece => ({
  key,
  refined: true,
  fullTriangles: 12,
  levels: [],
  index: 0,
  count: 1,
  data: null,
});

/** The workspace, the engine and the page round one kit view. */
function openView(text: string, remembered = new Map<string, string>()) {
  const [added, changed, partFile, removed, states] = Array.from(
    { length: 5 },
    () => new EventEmitter<never>(),
  );
  let kit = newKit(text);
  const call = vi.fn(
    async (
      _: string,
      params: KitSource & { held: readonly string[] },
      { onProgress }: { onProgress: (progress: KitSurfaceProgress) => void },
    ) => {
      for (const { name } of parseManifest(params.manifestText ?? '').manifest!.parts) {
        const key = `${name} as sculpted`;
        onProgress({ kind: 'shape', part: name, key });
        if (!params.held.includes(key)) onProgress({ kind: 'surface', piece: surface(key) });
      }
    },
  );
  const services = {
    context: {
      extensionUri: Uri.file('/extension'),
      workspaceState: {
        get: (key: string) => remembered.get(key),
        update: async (key: string, value: string) => remembered.set(key, value),
      },
    },
    log: { error: vi.fn() },
    engine: { allowed: true, call },
    kits: {
      found: Promise.resolve(),
      all: () => [kit],
      get: (uri: Uri) => (uri.path === address.path ? kit : null),
      onDidAdd: added!.event,
      onDidChange: changed!.event,
      onDidChangePartFile: partFile!.event,
      onDidRemove: removed!.event,
    },
    parts: { of: () => ({ report: null }) },
    states: { onDidChange: states!.event, of: () => ({ kind: 'ready', words: 'ready' }) },
  } as unknown as Services;

  const toHost = new EventEmitter<RpcMessage>();
  const toPage = new EventEmitter<RpcMessage>();
  let restore: (panel: unknown) => Promise<void> = async () => {};
  window['registerWebviewPanelSerializer'] = (
    _: string,
    serializer: { deserializeWebviewPanel: typeof restore },
  ) => {
    restore = serializer.deserializeWebviewPanel;
    return { dispose: () => {} };
  };
  const closed = vi.fn();
  const newPanel = (title: string) => ({
    title,
    visible: true,
    reveal: () => {},
    dispose: closed,
    onDidChangeViewState: () => ({ dispose: () => {} }),
    onDidDispose: () => ({ dispose: () => {} }),
    webview: {
      asWebviewUri: (uri: Uri) => uri,
      postMessage: (message: RpcMessage) => toPage.fire(message),
      onDidReceiveMessage: toHost.event,
    },
  });

  let panel = newPanel('');
  window['createWebviewPanel'] = (_: string, title: string) => {
    panel = newPanel(title);
    return panel;
  };

  let shown: KitViewState | null = null;
  /** Keys of the surfaces that the page has; as the page does, others are dropped with what it is shown. */
  let surfaces: string[] = [];
  const page = connect<KitHostMethods, KitPageMethods>(
    {
      send: (message) => toHost.fire(message),
      listen: (listener) => {
        const subscription = toPage.event(listener);
        return () => subscription.dispose();
      },
    },
    {
      show: async (state) => {
        shown = state;
        if (state.kind === 'kit')
          surfaces = surfaces.filter((key) => state.kit.parts.some((part) => part.key === key));
        return null;
      },
      surface: async ({ key }) => {
        surfaces.push(key);
        return null;
      },
    },
  );

  registerKitView(services);
  const ready = () => void page.call('ready', null);
  if (remembered.size === 0) {
    void registered.get('kitwright.showKit')!({ kit: 'file:///figure/kit.yaml' });
    ready();
  }
  return {
    call,
    closed,
    remembered,
    title: () => panel.title,
    /** The window was reloaded with a panel of that title in it. */
    async restore(title: string): Promise<void> {
      await restore(newPanel(title));
      ready();
    },
    /** The text is another, and 80 ms later every part's state is. */
    async type(next: string): Promise<void> {
      kit.setText(next);
      changed!.fire({ kit, changes: null } as never);
      await vi.advanceTimersByTimeAsync(80);
      states!.fire(undefined as never);
      await vi.advanceTimersByTimeAsync(0);
    },
    async remove(): Promise<void> {
      removed!.fire(kit as never);
      await vi.advanceTimersByTimeAsync(0);
    },
    async bringBack(next: string): Promise<void> {
      kit = newKit(next);
      added!.fire(kit as never);
      await vi.advanceTimersByTimeAsync(0);
    },
    /** The tab was hidden and is in sight again: a new page, which has nothing. */
    async turnBack(): Promise<void> {
      surfaces = [];
      void page.call('ready', null);
      await vi.advanceTimersByTimeAsync(0);
    },
    rest: () => vi.advanceTimersByTimeAsync(1_000),
    drawn: (): readonly string[] | string =>
      shown?.kind === 'kit'
        ? shown.kit.parts.flatMap(({ name, key }) => (key !== null && surfaces.includes(key) ? [name] : []))
        : (shown?.hint ?? 'nothing'),
  };
}

beforeEach(() => {
  vi.useFakeTimers();
  return () => vi.useRealTimers();
});

it.each([
  ['a name', manifest('torsoo', 'arm'), ['arm']],
  ['the whole text', '- ', 'kit.yaml cannot be read. Problems says where; mend it there.'],
])('draws a part again when a slip in %s is undone at once', async (_, slip, meanwhile) => {
  const text = manifest('torso', 'arm');
  const view = openView(text);
  await view.rest();
  expect(view.drawn()).toEqual(['torso', 'arm']);
  await view.type(slip);
  expect(view.drawn()).toEqual(meanwhile);
  await view.type(text);
  await view.rest();
  expect(view.drawn()).toEqual(['torso', 'arm']);
  await view.turnBack();
  expect(view.drawn()).toEqual(['torso', 'arm']);
});

it('asks the engine for nothing when nothing that is drawn has changed', async () => {
  const view = openView(manifest('torso', 'arm'));
  await view.rest();
  await view.type(`${manifest('torso', 'arm')}\n# as the sculptor left it`);
  await view.rest();
  expect(view.call).toHaveBeenCalledOnce();
});

it('lives again when its kit comes back', async () => {
  const view = openView(manifest('torso'));
  await view.rest();
  await view.remove();
  expect(view.drawn()).toBe('The kit.yaml of this kit is no longer there.');
  await view.bringBack(manifest('torso'));
  await view.rest();
  expect(view.drawn()).toEqual(['torso']);
  await view.type(manifest('torso', 'arm'));
  await view.rest();
  expect(view.drawn()).toEqual(['torso', 'arm']);
});

it('is brought back after a reload, once, for the kit it showed', async () => {
  const text = manifest('torso', 'arm');
  const before = openView(text);
  await before.rest();
  expect(before.title()).toBe('Kit: The Lamplighter');
  const after = openView(text, before.remembered);
  await after.restore('Kit: The Lamplighter');
  await after.rest();
  expect(after.drawn()).toEqual(['torso', 'arm']);
  expect(after.closed).not.toHaveBeenCalled();
  await after.restore('Kit: The Lamplighter');
  expect(after.closed).toHaveBeenCalledOnce();
});

it.each([
  ['nothing is remembered of it', new Map([['kit:Kit: Another', 'file:///figure/kit.yaml']])],
  ['its kit is gone', new Map([['kit:Kit: The Lamplighter', 'file:///gone/kit.yaml']])],
])('closes a page that comes back when %s', async (_, remembered) => {
  const view = openView(manifest('torso'), remembered);
  await view.restore('Kit: The Lamplighter');
  expect(view.closed).toHaveBeenCalledOnce();
  expect(view.call).not.toHaveBeenCalled();
});

import { build } from 'esbuild';
import { type Browser, chromium, type Page } from 'playwright-core';
import type { PartView } from '../../src/protocol/partView.ts';
import type { Methods, RpcMessage } from '../../src/protocol/rpc.ts';
import type { ViewState, WebviewMethods } from '../../src/protocol/viewMessages.ts';
import { chromiumFlags, findChromium } from '../browser.ts';
import { piecesOf } from './partViews.ts';
import type { ThemeName } from './themes.ts';
import { themes } from './themes.ts';

const origin = 'http://page.test';

/** The pages that the product has, by the names of their folders and bundles. */
type Bundle = 'turntable' | 'kit';

/** A page in a real browser, with this file in the place of VS Code and the host. */
export interface PageHarness<Called extends Methods> {
  readonly page: Page;
  /** Every message the page sent, oldest first. */
  sent(): Promise<RpcMessage[]>;
  call<K extends keyof Called & string>(method: K, params: Called[K]['params']): Promise<void>;
  /** What the host replies to a method from now on; an error's message in place of `value` rejects. */
  answer(method: string, answer: { readonly value: unknown } | { readonly error: string }): Promise<void>;
  setTheme(name: ThemeName): Promise<void>;
  savedState(): Promise<unknown>;
  problems(): readonly string[];
  close(): Promise<void>;
}

export interface Harness extends PageHarness<WebviewMethods> {
  show(state: ViewState): Promise<void>;
  /** The view with all its surfaces. */
  showView(view: PartView, editable?: boolean): Promise<void>;
}

export function launchBrowser(): Promise<Browser> {
  return chromium.launch({ executablePath: findChromium()!, args: [...chromiumFlags] });
}

const built = new Map<string, Promise<string>>();

/** A page's script or styles, built as the product builds them. */
function pageFile(entry: string): Promise<string> {
  const file =
    built.get(entry) ??
    build({
      entryPoints: [entry],
      bundle: true,
      write: false,
      format: 'iife',
      platform: 'browser',
      target: 'chrome128',
      minify: true,
      legalComments: 'none',
    }).then(({ outputFiles }) => outputFiles[0]!.text);
  built.set(entry, file);
  return file;
}

export interface HarnessOptions {
  readonly width?: number;
  readonly height?: number;
  readonly savedState?: unknown;
  readonly reducedMotion?: boolean;
  readonly webgl?: boolean;
}

export async function openTurntable(browser: Browser, options: HarnessOptions = {}): Promise<Harness> {
  const page = await openPage<WebviewMethods>(browser, 'turntable', options);
  const harness: Harness = {
    ...page,
    show: (state) => harness.call('show', state),
    async showView(view, editable = true) {
      await harness.show({ kind: 'view', view, editable });
      for (const piece of piecesOf(view)) await harness.call('surface', piece);
    },
  };
  return harness;
}

export async function openPage<Called extends Methods>(
  browser: Browser,
  bundle: Bundle,
  options: HarnessOptions = {},
): Promise<PageHarness<Called>> {
  const { width = 860, height = 700, savedState, reducedMotion = true, webgl = true } = options;
  const context = await browser.newContext({
    viewport: { width, height },
    reducedMotion: reducedMotion ? 'reduce' : 'no-preference',
  });
  const page = await context.newPage();
  const problems: string[] = [];
  page.on('pageerror', (error) => problems.push(error.message));
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type()) && !isDriverNoise(message.text()))
      problems.push(message.text());
  });
  await serve(page, bundle);
  await page.addInitScript(fakeVsCode, { savedState: savedState ?? null, webgl });
  await page.goto(`${origin}/`);
  const setTheme = (name: ThemeName): Promise<void> => page.evaluate(applyTheme, themes[name]);
  await setTheme('dark');
  let id = 0;

  return {
    page,
    sent: () => page.evaluate(() => window.sentMessages),
    async call(method, params) {
      const message = { kind: 'request', version: 1, id: ++id, method, params: pack(params) };
      await page.evaluate(deliver, message);
      await page.waitForFunction(
        (wanted) => window.sentMessages.some((sent) => sent.kind !== 'request' && sent.id === wanted),
        id,
      );
      await settle(page);
    },
    answer: (method, answer) =>
      page.evaluate(
        ([name, reply]) => {
          window.hostAnswers[name] = reply;
        },
        [method, answer] as const,
      ),
    async setTheme(name) {
      await setTheme(name);
      await settle(page);
    },
    savedState: () => page.evaluate(() => window.keptState),
    problems: () => problems,
    close: () => context.close(),
  };
}

/** Chromium reports our own reading back of pixels as a slow path; that is the test's doing. */
function isDriverNoise(text: string): boolean {
  return text.includes('GPU stall due to ReadPixels');
}

async function serve(page: Page, bundle: Bundle): Promise<void> {
  const script = await pageFile(`webview/${bundle}/main.ts`);
  const style = await pageFile(`webview/${bundle}/${bundle}.css`);
  const policy = `default-src 'none'; style-src ${origin}; img-src data:; script-src 'nonce-harness'`;
  const body = `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Kitwright</title>
<meta http-equiv="Content-Security-Policy" content="${policy}">
<link rel="stylesheet" href="/page.css"></head>
<body class="vscode-dark"><div id="kitwright"></div><script nonce="harness" src="/page.js"></script></body></html>`;
  await page.route(`${origin}/`, (route) => route.fulfill({ contentType: 'text/html', body }));
  await page.route(`${origin}/page.js`, (route) =>
    route.fulfill({ contentType: 'text/javascript', body: script }),
  );
  await page.route(`${origin}/page.css`, (route) => route.fulfill({ contentType: 'text/css', body: style }));
  await page.route(`${origin}/favicon.ico`, (route) => route.fulfill({ status: 204, body: '' }));
}

/** Two frames: one in which the page asks to draw, one in which it has drawn; and until it is drawn in full. */
export async function settle(page: Page): Promise<void> {
  await page.evaluate(
    () =>
      new Promise<void>((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done)))),
  );
  await page.waitForFunction(
    () => document.querySelector('.picture canvas')?.hasAttribute('data-resting') !== false,
    undefined,
    { timeout: 120_000 },
  );
}

declare global {
  interface Window {
    sentMessages: RpcMessage[];
    hostAnswers: Record<string, { readonly value: unknown } | { readonly error: string }>;
    keptState: unknown;
  }
}

function fakeVsCode({ savedState, webgl }: { savedState: unknown; webgl: boolean }): void {
  window.sentMessages = [];
  window.hostAnswers = {};
  window.keptState = savedState ?? undefined;
  const api = {
    postMessage(message: RpcMessage) {
      window.sentMessages.push(structuredClone(message));
      if (message.kind !== 'request') return;
      const answer = window.hostAnswers[message.method] ?? { value: null };
      const { id } = message;
      const reply =
        'error' in answer
          ? { kind: 'error', id, error: { code: 'cancelled', message: answer.error } }
          : { kind: 'reply', id, value: answer.value };
      setTimeout(() => window.dispatchEvent(new MessageEvent('message', { data: reply })));
    },
    getState: () => window.keptState,
    setState(state: unknown) {
      window.keptState = structuredClone(state);
    },
  };
  Object.assign(window, { acquireVsCodeApi: () => api });
  if (!webgl) {
    const real = HTMLCanvasElement.prototype.getContext;
    HTMLCanvasElement.prototype.getContext = function (
      this: HTMLCanvasElement,
      kind: string,
      ...rest: unknown[]
    ) {
      return kind.startsWith('webgl')
        ? null
        : (real as (...all: unknown[]) => unknown).call(this, kind, ...rest);
    } as typeof real;
  }
}

function applyTheme({ classes, variables }: { classes: string; variables: Record<string, string> }): void {
  document.body.className = classes;
  for (const [name, value] of Object.entries(variables))
    document.documentElement.style.setProperty(name, value);
}

type Packable = 'Float32Array' | 'Uint32Array' | 'Uint16Array';
type Packed = { readonly packed: Packable; readonly base64: string };

/** Typed arrays do not survive the driver's own wire; they go through it as text. */
function pack(value: unknown): unknown {
  if (ArrayBuffer.isView(value)) {
    const bytes = Buffer.from(value.buffer, value.byteOffset, value.byteLength);
    return { packed: value.constructor.name, base64: bytes.toString('base64') };
  }
  if (Array.isArray(value)) return value.map(pack);
  if (typeof value === 'object' && value !== null) {
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, pack(inner)]));
  }
  return value;
}

function deliver(message: unknown): void {
  const unpack = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.map(unpack);
    if (typeof value !== 'object' || value === null) return value;
    if ('packed' in value) {
      const { packed, base64 } = value as Packed;
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      return new { Float32Array, Uint32Array, Uint16Array }[packed](bytes.buffer);
    }
    return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, unpack(inner)]));
  };
  window.dispatchEvent(new MessageEvent('message', { data: unpack(message) }));
}

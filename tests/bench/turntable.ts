import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { uninterrupted } from '../../src/core/interrupter.ts';
import { readStl } from '../../src/core/mesh/readStl.ts';
import { writeBinaryStl } from '../../src/core/mesh/writeStl.ts';
import { figureMesh } from '../../src/lamplighter/figureMesh.ts';
import type { ViewProgress } from '../../src/protocol/engineApi.ts';
import type { PartView } from '../../src/protocol/partView.ts';
import { openSurfaceAssembly } from '../../src/protocol/surfaceAssembly.ts';
import type { SurfacePiece } from '../../src/protocol/surfacePiece.ts';
import { type EngineClient, startEngine } from '../../src/worker/engineClient.ts';
import { type Harness, launchBrowser, openTurntable } from '../webview/harness.ts';

/**
 * `npm run bench:turntable [-- FILE.stl | TRIANGLES]`: from the file to the picture of a part, cold,
 * edited and opened again, and a scripted turn of it in Chromium, which draws in software here.
 * Needs `npm run build`. Machines are noisy: processor time says more than the clock.
 */
const argument = process.argv[2] ?? '2000000';
const bytes = /^\d+$/.test(argument)
  ? writeBinaryStl(figureMesh(Number(argument)))
  : new Uint8Array(readFileSync(argument));
const kitDir = mkdtempSync(join(tmpdir(), 'kitwright-turntable-'));
mkdirSync(join(kitDir, 'parts'));
writeFileSync(join(kitDir, 'parts/figure.stl'), bytes);
writeFileSync(join(kitDir, 'kit.yaml'), manifest(8));
print(`${cpus().length} × ${cpus()[0]?.model}, Node ${process.version}`);

const engine = startEngine(resolve('dist/engine.mjs'));
try {
  const cold = await timeView(engine, 'cold', manifest(8), []);
  const held = [cold.view.outer, cold.view.cavity!];
  for (const diameter of [9, 10, 11, 12]) await timeView(engine, 'opening resized', manifest(diameter), held);
  const again = await timeView(engine, 'opened again', manifest(8), []);
  await turnInBrowser(again.view, again.pieces);
} finally {
  engine.dispose();
  rmSync(kitDir, { recursive: true, force: true });
}

interface Timed {
  readonly view: PartView;
  readonly pieces: readonly SurfacePiece[];
}

async function timeView(
  client: EngineClient,
  name: string,
  manifestText: string,
  keys: readonly string[],
): Promise<Timed> {
  const assembly = openSurfaceAssembly();
  const pieces: SurfacePiece[] = [];
  const at: Record<string, number> = {};
  const triangles: string[] = [];
  let view: PartView | null = null;
  const start = performance.now();
  const since = (): number => (performance.now() - start) / 1000;
  const onProgress = (progress: ViewProgress): void => {
    if (progress.kind === 'stage') at[progress.stage] ??= since();
    if (progress.kind === 'view') {
      view = progress.view;
      at['facts'] ??= since();
    }
    if (progress.kind !== 'surface') return;
    pieces.push(progress.piece);
    const level = assembly.add(progress.piece);
    if (level?.surface == null) return;
    at[level.refined ? 'refined surface' : 'first picture'] ??= since();
    const { triangleCount, errorMm, step } = level.surface;
    triangles.push(
      `${level.refined ? 'refined' : 'first'} ${triangleCount} (±${errorMm.toFixed(3)} mm, step ${step.toFixed(4)} mm)`,
    );
  };
  const source = { of: 'kit', kitDir, manifestText, part: 'figure' } as const;
  await client.call('view', { source, held: keys, noCache: false }, { onProgress });
  at['all'] = since();
  const times = Object.entries(at).map(([what, seconds]) => `${what} ${seconds.toFixed(3)}`);
  print(`${name}: ${times.join(' · ')}`);
  if (triangles.length > 0) print(`  levels: ${triangles.join(', ')}`);
  return { view: view!, pieces };
}

async function turnInBrowser(view: PartView, pieces: readonly SurfacePiece[]): Promise<void> {
  const browser = await launchBrowser();
  try {
    const turntable = await openTurntable(browser, { width: 1200, height: 900, reducedMotion: false });
    await turntable.show({ kind: 'view', view, editable: true });
    for (const piece of pieces) await turntable.call('surface', piece);
    for (const layer of [null, Math.round(0.5 * view.strata.layers)]) {
      await turntable.call('cutAtLayer', { layer });
      await timeOrbit(turntable, layer === null ? 'no cut' : `cut at layer ${layer}`);
    }
    await timeEdit(turntable, view);
  } finally {
    await browser.close();
  }
}

interface Frame {
  readonly ms: number;
  readonly triangles: number;
}

/** Drags the picture round for a while; tells the first and the last seconds of it. */
async function timeOrbit({ page }: Harness, name: string): Promise<void> {
  await page.evaluate(startDrag);
  for (const phase of ['first second', 'later']) {
    const cpu = browserCpuMs();
    const frames = await page.evaluate(drag, phase === 'later' ? 5000 : 1000);
    const spent = (browserCpuMs() - cpu) / Math.max(1, frames.length);
    const median = middle(frames.map(({ ms }) => ms));
    const drawn = middle(frames.map(({ triangles }) => triangles));
    const rate = (1000 * frames.length) / frames.reduce((sum, { ms }) => sum + ms, 0);
    print(
      `turning, ${name}, ${phase}: ${rate.toFixed(1)} frames/s (median ${median.toFixed(0)} ms), ${drawn} triangles, ${spent.toFixed(0)} ms of processor a frame`,
    );
  }
  const rest = await page.evaluate(endDrag);
  print(`  at rest: ${rest.triangles} triangles after ${rest.ms.toFixed(0)} ms`);
}

type Drag = { x: number; send(type: string): void };
declare global {
  interface Window {
    benchDrag: Drag;
  }
}

function startDrag(): void {
  const canvas = document.querySelector<HTMLCanvasElement>('.picture canvas')!;
  const { left, top } = canvas.getBoundingClientRect();
  // There is no pointer behind these events that could be captured.
  canvas.setPointerCapture = () => {};
  canvas.releasePointerCapture = () => {};
  const drag: Drag = {
    x: 200,
    send(type) {
      const target = type === 'pointerdown' ? canvas : document;
      const button = type === 'pointermove' ? -1 : 0;
      target.dispatchEvent(
        new PointerEvent(type, {
          pointerId: 1,
          isPrimary: true,
          pointerType: 'mouse',
          clientX: left + drag.x,
          clientY: top + 200,
          button,
          buttons: 1,
          bubbles: true,
        }),
      );
    },
  };
  window.benchDrag = drag;
  drag.send('pointerdown');
}

function drag(forMs: number): Promise<Frame[]> {
  const canvas = document.querySelector<HTMLCanvasElement>('.picture canvas')!;
  const frames: Frame[] = [];
  return new Promise((done) => {
    const start = performance.now();
    let last = start;
    const step = (): void => {
      const now = performance.now();
      frames.push({ ms: now - last, triangles: Number(canvas.dataset['triangles']) });
      last = now;
      window.benchDrag.x += 3;
      window.benchDrag.send('pointermove');
      if (now - start < forMs) requestAnimationFrame(step);
      else done(frames);
    };
    requestAnimationFrame(step);
  });
}

async function endDrag(): Promise<{ ms: number; triangles: number }> {
  const canvas = document.querySelector<HTMLCanvasElement>('.picture canvas')!;
  const start = performance.now();
  window.benchDrag.send('pointerup');
  while (!canvas.hasAttribute('data-resting')) await new Promise((next) => requestAnimationFrame(next));
  return { ms: performance.now() - start, triangles: Number(canvas.dataset['triangles']) };
}

/** What an edit costs the page: the same surfaces, another opening. */
async function timeEdit({ page, show }: Harness, view: PartView): Promise<void> {
  const [first, ...others] = view.openings;
  if (first === undefined) return;
  const edited = { ...view, openings: [{ ...first, radius: first.radius + 1 }, ...others] };
  await page.evaluate(() => {
    const times: number[] = [];
    window.addEventListener('message', () => times.push(performance.now()), { capture: true, once: true });
    const real = WebGL2RenderingContext.prototype.clear;
    WebGL2RenderingContext.prototype.clear = function (mask) {
      if (times.length > 0) times.push(performance.now());
      real.call(this, mask);
    };
    Object.assign(window, { benchTimes: times });
  });
  // A picture in full, at rest, may still be in the making.
  await delay(10_000);
  await show({ kind: 'view', view: edited, editable: true });
  const [asked, drawn] = await page.evaluate(
    () => (window as unknown as { benchTimes: readonly number[] }).benchTimes,
  );
  print(`edit in the page, until its picture is drawn: ${(drawn! - asked!).toFixed(0)} ms`);
}

/** Processor time of all of the browser's processes. */
function browserCpuMs(): number {
  let total = 0;
  for (const name of readdirSync('/proc')) {
    if (!/^\d+$/.test(name)) continue;
    try {
      if (!readFileSync(`/proc/${name}/cmdline`, 'utf8').includes('chrom')) continue;
      const fields = readFileSync(`/proc/${name}/stat`, 'utf8').split(') ')[1]!.split(' ');
      total += (Number(fields[11]) + Number(fields[12])) * 10;
    } catch {
      // It has ended.
    }
  }
  return total;
}

/** Three vents: at the ends of the part along x, and at its lowest point. */
function manifest(diameter: number): string {
  const soup = readStl(bytes, { maxTriangles: 20_000_000 }, uninterrupted);
  if (!soup.ok) throw new Error(soup.error.message);
  const corners = soup.value;
  const extreme = (axis: number, sign: number): string => {
    let best = 0;
    for (let i = 0; i < corners.length; i += 3) {
      if (sign * corners[i + axis]! > sign * corners[best + axis]!) best = i;
    }
    return `[${[...corners.subarray(best, best + 3)].map((value) => value.toFixed(3)).join(', ')}]`;
  };
  return `kit: The Lamplighter
scale: { finished: "1:4", factor: 1 }
machine: { plate: [200, 200], height: 220, layer: 0.05, vat: 5000 }
resins:
  slate: { density: 1.12, viscosity: 300, on-hand: 9000 }
defaults: { wall: 1.5, resin: slate }
parts:
  figure:
    file: parts/figure.stl
    vents:
      - { at: ${extreme(2, -1)}, diameter: ${diameter}, depth: 6 }
      - { at: ${extreme(0, 1)}, diameter: 5, depth: 6 }
      - { at: ${extreme(0, -1)}, diameter: 5, depth: 6 }
`;
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

function print(line: string): void {
  process.stdout.write(`${line}\n`);
}

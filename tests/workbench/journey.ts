import assert from 'node:assert/strict';
import { execFile } from 'node:child_process';
import { cp, mkdir, mkdtemp, readFile, rm, stat } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import type { Browser, Page } from 'playwright-core';
import { findChromium, noChromium } from '../browser.ts';
import { lookAtBothSides } from './bothSides.ts';
import { launchBrowser } from './browser.ts';
import { installWorkbench } from './install.ts';
import { colourCount } from './pixels.ts';
import { print } from './print.ts';
import { takeProposals } from './proposals.ts';
import { type Server, startServer } from './server.ts';
import { lookAtKit } from './wholeKit.ts';
import { WorkbenchPage } from './workbenchPage.ts';

const repository = process.cwd();
const screens = path.join(repository, '.cache', 'screens');

/** What the builder does to the sample kit: the part he looks at, and the decision he changes. */
const scenario = {
  kit: path.join(repository, 'sample-workspace'),
  part: 'lowered-arm',
  edit: { from: 'depth: 60', to: 'depth: 4' },
  code: 'opening-through',
  /** Stays: shows that the list would tell of the other if it were there. */
  staying: 'opening-misses-chamber',
  makeReady: 'torso',
  compared: { part: 'coat-skirt', from: 'diameter: 8, depth: 12', to: 'diameter: 14, depth: 12' },
};

const themes = [
  { name: 'dark', setting: 'Default Dark Modern', body: 'vscode-dark' },
  { name: 'light', setting: 'Default Light Modern', body: 'vscode-light' },
  {
    name: 'high-contrast',
    setting: 'Default High Contrast',
    body: 'vscode-high-contrast',
  },
] as const;

/** A builder's way through Kitwright in a real workbench, from the installed package. */
async function main(): Promise<void> {
  const chromium = findChromium();
  if (chromium === null) {
    print(`SKIPPED journey: ${noChromium}`);
    return;
  }
  await mkdir(screens, { recursive: true });
  const workbench = await installWorkbench(repository);
  const temporary = await mkdtemp(path.join(os.tmpdir(), 'kitwright-journey-'));
  const kit = path.join(temporary, 'lamplighter');
  let server: Server | null = null;
  let browser: Browser | null = null;
  try {
    await cp(scenario.kit, kit, {
      recursive: true,
      filter: (file) => !/[/\\](ready|\.kitwright)([/\\]|$)/.test(file),
    });
    const vsix = path.join(temporary, 'kitwright.vsix');
    await step('the package is made', () => makePackage(vsix));
    server = await startServer(workbench, {
      vsix,
      logFile: path.join(repository, '.cache', 'journey-server.log'),
    });
    browser = await launchBrowser(chromium);
    const context = await browser.newContext({ viewport: { width: 1600, height: 1000 } });
    const page = await context.newPage();
    await travel(page, server, kit);
  } finally {
    await browser?.close();
    await server?.stop();
    await rm(temporary, { recursive: true, force: true });
  }
}

async function travel(page: Page, server: Server, kit: string): Promise<void> {
  const bench = new WorkbenchPage(page);
  try {
    await follow(bench, server, kit);
  } catch (error) {
    // A window that is stuck gives no picture; what failed is told all the same.
    await page.screenshot({ path: path.join(screens, 'failure.png') }).catch(() => {});
    throw error;
  }
}

async function follow(bench: WorkbenchPage, server: Server, kit: string): Promise<void> {
  const { page } = bench;
  await step('the kit folder opens', () => bench.openFolder(server.url, kit));
  await step('Problems holds numbered findings with their codes', async () => {
    await bench.openFile('kit.yaml');
    await bench.showProblems();
    // A part's findings show as it is measured, and get their numbers when the kit is done.
    await bench.until('numbers in Problems', async () =>
      /\[\d+\]/.test(await bench.waitForProblem(scenario.code)),
    );
  });
  await lookAtKit(bench, screens, step);
  await step('the turntable opens and draws the part', async () => {
    await bench.goTo(await placeOf(kit, `  ${scenario.part}:`));
    await bench.command('Kitwright: Show on Turntable');
    await bench.until('pixels', () => drawn(bench));
  });
  await step('dragging on the strata moves the cut', async () => {
    const slider = bench.turntable.getByRole('slider', { name: 'Cut by layer' });
    const before = await slider.getAttribute('aria-valuetext');
    const box = await slider.boundingBox();
    assert.ok(box, 'the strata are visible');
    await page.mouse.move(box.x + box.width * 0.3, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.55, box.y + box.height / 2, { steps: 8 });
    await page.mouse.up();
    const after = await slider.getAttribute('aria-valuetext');
    assert.notEqual(after, before);
    assert.match(after ?? '', /\d/);
  });
  await step(
    'an opening placed by keys on the turntable is in the manifest, and one undo takes it out',
    async () => {
      const manifest = path.join(kit, 'kit.yaml');
      const before = await readFile(manifest, 'utf8');
      await bench.turntable.locator('.picture canvas').first().focus();
      await page.keyboard.press('e');
      await page.keyboard.press('ArrowRight');
      await bench.turntable.locator('.trial', { hasText: /\d/ }).first().waitFor({ timeout: 120_000 });
      await page.keyboard.press('Enter');
      await bench.until('the opening on disk', async () => {
        await bench.command('File: Save All');
        return (await readFile(manifest, 'utf8')) !== before;
      });
      await page.screenshot({ path: path.join(screens, 'journey-placed.png'), timeout: 120_000 });
      await bench.openFile('kit.yaml');
      const lines = (await readFile(manifest, 'utf8')).split('\n');
      const added = lines.filter((line) => !before.split('\n').includes(line));
      assert.equal(added.length, 1);
      assert.match(added[0] ?? '', /^ +- \{ at: \[.*\], diameter: [\d.]+ \}$/);
      await page.locator('.editor-instance .monaco-editor').first().click();
      await page.keyboard.press('Control+Z');
      await bench.command('File: Save');
      await bench.until('the manifest as it was', async () => (await readFile(manifest, 'utf8')) === before);
    },
  );
  await step(
    'a length measured by keys on the turntable is the scale in the manifest, and one undo takes it out',
    async () => {
      const manifest = path.join(kit, 'kit.yaml');
      const before = await readFile(manifest, 'utf8');
      const edit = bench.turntable.getByRole('button', { name: 'Edit by hand' });
      if ((await edit.getAttribute('aria-pressed')) !== 'true') await edit.click();
      await bench.turntable.locator('.picture canvas').first().focus();
      for (const key of ['m', 'ArrowRight', 'Space', 'ArrowUp', 'ArrowUp', 'ArrowUp', 'ArrowUp', 'Space'])
        await page.keyboard.press(key);
      const length = bench.turntable.getByRole('spinbutton', { name: 'The length in mm' });
      await bench.until('the cursor where the length is typed', () =>
        length.evaluate((input) => input === document.activeElement),
      );
      await page.keyboard.type('16.5');
      await page.screenshot({ path: path.join(screens, 'journey-length.png'), timeout: 120_000 });
      await page.keyboard.press('Enter');
      await bench.until('the scale on disk', async () => {
        await bench.command('File: Save All');
        return (await readFile(manifest, 'utf8')) !== before;
      });
      const [was, now] = [before.split('\n'), (await readFile(manifest, 'utf8')).split('\n')];
      assert.deepEqual(
        was.filter((line) => !now.includes(line)),
        ['  factor: 3.4                  # print mm per sculpt unit'],
      );
      const [added, ...others] = now.filter((line) => !was.includes(line));
      assert.deepEqual(others, []);
      assert.match(added ?? '', /^ {2}from: \{ between: \[\[.*\], \[.*\]\], subject: 16\.5 \} +# print mm/);
      await bench.openFile('kit.yaml');
      await page.locator('.editor-instance .monaco-editor').first().click();
      await page.keyboard.press('Control+Z');
      await bench.command('File: Save');
      await bench.until('the manifest as it was', async () => (await readFile(manifest, 'utf8')) === before);
    },
  );
  await step('a vent in the manifest makes its finding go', async () => {
    const place = await placeOf(kit, scenario.edit.from, `  ${scenario.part}:`);
    await bench.openFile('kit.yaml');
    await bench.replaceAt(place, scenario.edit.from, scenario.edit.to);
    await bench.showProblems();
    await bench.waitForNoProblem(scenario.code);
    await bench.waitForProblem(scenario.staying);
    assert.deepEqual(await bench.problems(scenario.code), []);
    await page.screenshot({ path: path.join(screens, 'journey-vented.png'), timeout: 120_000 });
  });
  await step('a part is made ready', async () => {
    await bench.openFile('kit.yaml');
    await bench.goTo(await placeOf(kit, `  ${scenario.makeReady}:`));
    await bench.command('Kitwright: Make Part Ready…');
    const ready = path.join(kit, 'ready', `${scenario.makeReady}.stl`);
    await bench.until('the ready mesh', async () => (await stat(ready).catch(() => null)) !== null);
    await page.screenshot({ path: path.join(screens, 'journey-ready.png'), timeout: 120_000 });
  });
  await takeProposals(bench, kit, screens, step);
  for (const theme of themes) {
    await step(`the turntable returns after a reload, in the ${theme.name} theme`, async () => {
      await server.setTheme(theme.setting);
      await page.reload();
      await bench.turntable.locator(`body.${theme.body}`).waitFor({ timeout: 120_000 });
      await bench.until('pixels', () => drawn(bench));
      await page.screenshot({ path: path.join(screens, `journey-${theme.name}.png`), timeout: 120_000 });
    });
  }
  await lookAtBothSides(bench, kit, screens, scenario.compared, step);
  await step('a part is explained in a document with its graphs drawn', async () => {
    await bench.openFile('kit.yaml');
    await bench.goTo(await placeOf(kit, `  ${scenario.makeReady}:`));
    await bench.command('Kitwright: Explain This Part…');
    await bench.until('the document', async () => (await graphsDrawn(page)) >= 3);
    await page.screenshot({ path: path.join(screens, 'journey-explained.png'), timeout: 120_000 });
  });
}

/** How many pictures any document in the window shows that have really been drawn. */
async function graphsDrawn(page: Page): Promise<number> {
  const counts = page.frames().map((frame) =>
    frame
      .locator('img')
      .evaluateAll(
        (images) => images.filter((image) => (image as HTMLImageElement).naturalWidth > 100).length,
      )
      .catch(() => 0),
  );
  return Math.max(0, ...(await Promise.all(counts)));
}

/** True when the picture shows more than a background: shading alone gives many colours. */
async function drawn(bench: WorkbenchPage): Promise<boolean> {
  const picture = bench.turntable.locator('canvas').first();
  if (!(await picture.isVisible())) return false;
  return (await colourCount(bench.page, await picture.screenshot())) > 30;
}

async function makePackage(file: string): Promise<void> {
  const vsce = path.join(repository, 'node_modules', '@vscode', 'vsce', 'vsce');
  await promisify(execFile)(
    process.execPath,
    [vsce, 'package', '--no-dependencies', '--no-rewrite-relative-links', '--out', file],
    {
      cwd: repository,
    },
  );
}

/** 1-based line and column of a text in the manifest on disk, from a landmark on. */
async function placeOf(kit: string, text: string, after = ''): Promise<{ line: number; column: number }> {
  const manifest = await readFile(path.join(kit, 'kit.yaml'), 'utf8');
  const offset = manifest.indexOf(text, manifest.indexOf(after));
  assert.ok(offset >= 0, `kit.yaml has “${text}”`);
  const lines = manifest.slice(0, offset).split('\n');
  const indent = text.length - text.trimStart().length;
  return { line: lines.length, column: lines[lines.length - 1]!.length + 1 + indent };
}

async function step(title: string, act: () => Promise<void>): Promise<void> {
  const started = performance.now();
  try {
    await act();
    print(`ok   ${title} (${Math.round(performance.now() - started)} ms)`);
  } catch (error) {
    print(`FAIL ${title}`);
    throw error;
  }
}

try {
  await main();
} catch (error) {
  print(error instanceof Error ? (error.stack ?? error.message) : String(error));
  process.exitCode = 1;
}

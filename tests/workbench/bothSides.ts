import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import type { Frame } from 'playwright-core';
import { colourCount } from './pixels.ts';
import type { WorkbenchPage } from './workbenchPage.ts';

type Step = (title: string, act: () => Promise<void>) => Promise<void>;

/** A decision as it stands in the manifest, and as it is changed. */
export interface ChangedDecision {
  readonly part: string;
  readonly from: string;
  readonly to: string;
}

/** The builder commits the kit, changes a decision, and looks at both on turntables beside each other. */
export async function lookAtBothSides(
  bench: WorkbenchPage,
  kit: string,
  screens: string,
  { part, from, to }: ChangedDecision,
  step: Step,
): Promise<void> {
  const { page } = bench;
  const manifest = path.join(kit, 'kit.yaml');
  const ledger = path.join(kit, 'ledger.yaml');
  const git = (...args: string[]) =>
    execFileSync('git', ['-C', kit, '-c', 'user.name=b', '-c', 'user.email=b@example.invalid', ...args]);
  const recorded = () => readFile(ledger, 'utf8').catch(() => '');

  async function record(): Promise<void> {
    const before = await recorded();
    await bench.command('Kitwright: Record');
    await bench.until('the ledger', async () => (await recorded()) !== before);
    await bench.command('Notifications: Clear All Notifications');
  }

  await step('the kit is recorded and committed, then a decision changes', async () => {
    await mkdir(path.join(kit, '.vscode'), { recursive: true });
    await writeFile(path.join(kit, '.vscode', 'settings.json'), '{ "git.enabled": true }\n');
    await bench.openFile('kit.yaml');
    await record();
    git('init', '--quiet');
    git('add', 'kit.yaml', 'ledger.yaml');
    git('commit', '--quiet', '-m', 'as it was poured first');
    const text = await readFile(manifest, 'utf8');
    assert.ok(text.includes(from), `kit.yaml has “${from}”`);
    await writeFile(manifest, text.replace(from, to));
    await page.waitForTimeout(2_000);
    await record();
  });

  await step('both are drawn beside each other; the right one turns and is cut with the left', async () => {
    await showBothSides(bench, part);
    const [left, right] = await bothSides(bench, part);
    const seen = async (): Promise<Buffer> => right.locator('.picture canvas').first().screenshot();
    const before = await seen();
    await left.locator('.picture canvas').first().focus();
    for (let n = 0; n < 4; n++) await page.keyboard.press('ArrowLeft');
    await bench.until('another picture on the right', async () => !(await seen()).equals(before));
    await page.keyboard.press('PageDown');
    const slider = (frame: Frame) =>
      frame.getByRole('slider', { name: 'Cut by layer' }).getAttribute('aria-valuetext');
    const layerOf = async (frame: Frame): Promise<string | undefined> =>
      /layer \d+/i.exec((await slider(frame)) ?? '')?.[0];
    await bench.until('the same cut', async () => {
      const layer = await layerOf(left);
      return layer !== undefined && layer === (await layerOf(right));
    });
    await page.screenshot({ path: path.join(screens, 'journey-both-sides.png'), timeout: 120_000 });
  });
}

/** From the latest commit of the ledger to what lies in the folder. */
export async function showBothSides(bench: WorkbenchPage, part: string): Promise<void> {
  const { page } = bench;
  await bench.openFile('kit.yaml');
  // A busy workbench can lose a click on the list of commands.
  await bench.until('the revisions to choose from', async () => {
    await bench.command('Kitwright: Show Both Turntables of a Part…');
    return page
      .locator('.quick-input-widget', { hasText: 'Compare the ledger of which revision' })
      .first()
      .waitFor({ timeout: 30_000 })
      .then(
        () => true,
        () => false,
      );
  });
  for (const question of ['Compare the ledger of which revision', 'with which?', null]) {
    const list = page.locator('.quick-input-widget', { hasText: question ?? 'Show which part' });
    const asked = await list
      .first()
      .waitFor({ timeout: question === null ? 4_000 : 120_000 })
      .then(
        () => true,
        () => false,
      );
    // A part that is the only one to have changed is not asked for.
    if (!asked && question === null) return;
    await page.waitForTimeout(500);
    await list
      .locator('.monaco-list-row', { hasText: question === null ? part : /./ })
      .first()
      .click();
  }
}

/** The pages of both sides, once they have drawn the part. */
export async function bothSides(bench: WorkbenchPage, part: string): Promise<readonly [Frame, Frame]> {
  const found = async (title: RegExp): Promise<Frame | null> => {
    for (const frame of bench.page.frames()) {
      const heading = frame.locator('h1').first();
      const text = await heading.textContent({ timeout: 200 }).catch(() => null);
      if (text !== null && title.test(text)) return frame;
    }
    return null;
  };
  const drawn = async (title: RegExp): Promise<Frame> => {
    let frame: Frame | null = null;
    await bench.until(`a picture of ${title}`, async () => {
      frame = await found(title);
      const canvas = frame?.locator('.picture canvas').first();
      if (canvas === undefined || !(await canvas.isVisible())) return false;
      return (await colourCount(bench.page, await canvas.screenshot())) > 30;
    });
    return frame!;
  };
  return [
    await drawn(new RegExp(`^${part}: [0-9a-f]{8} `)),
    await drawn(new RegExp(`^${part}: in the folder`)),
  ];
}

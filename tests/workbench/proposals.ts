import assert from 'node:assert/strict';
import { readFile, stat } from 'node:fs/promises';
import path from 'node:path';
import type { WorkbenchPage } from './workbenchPage.ts';

type Step = (title: string, act: () => Promise<void>) => Promise<void>;

/** What the builder lets Kitwright propose for the sample kit, by hand: each is one edit, and one undo takes it back. */
export async function takeProposals(
  bench: WorkbenchPage,
  kit: string,
  screens: string,
  step: Step,
): Promise<void> {
  const { page } = bench;
  const manifest = path.join(kit, 'kit.yaml');
  const shot = (name: string) =>
    page.screenshot({ path: path.join(screens, `journey-${name}.png`), timeout: 120_000 });
  await bench.openFile('kit.yaml');
  const title = page.locator('.tab.active.dirty', { hasText: 'kit.yaml' });
  await bench.until('the manifest saved', async () => {
    await bench.command('File: Save All');
    return (await title.count()) === 0;
  });
  const before = await readFile(manifest, 'utf8');
  const strip = bench.turntable.getByRole('region', { name: 'Proposed poses' });
  const notification = (text: string) => page.locator('.notification-toast', { hasText: text }).first();
  const list = page.locator('.quick-input-list .monaco-list-row', { hasText: 'through [' });

  const lineOf = (part: string): number =>
    before.split('\n').findIndex((text) => text.startsWith(`  ${part}:`)) + 1;

  /** The cursor into a part's lines, and a command about it. */
  async function ask(part: string, command: string): Promise<void> {
    await bench.openFile('kit.yaml');
    await bench.goTo({ line: lineOf(part), column: 3 });
    await bench.command(command);
  }

  /** The manifest on disk, once it differs from what it was. */
  async function changed(): Promise<string> {
    let now = before;
    await bench.until('the edit on disk', async () => {
      await bench.command('File: Save All');
      now = await readFile(manifest, 'utf8');
      return now !== before;
    });
    return now;
  }

  /** At the part, since the turntable follows the cursor. */
  async function undo(part: string): Promise<void> {
    await bench.openFile('kit.yaml');
    await bench.goTo({ line: lineOf(part), column: 3 });
    await page.keyboard.press('Control+Z');
    await bench.command('File: Save');
    await bench.until('the manifest as it was', async () => (await readFile(manifest, 'utf8')) === before);
    await bench.command('Notifications: Clear All Notifications');
  }

  await step('poses are pictures on the turntable; one is taken by keys, marked, and undone', async () => {
    await ask('lantern', 'Kitwright: Propose a Pose…');
    const first = strip.getByRole('button', { name: /^Pose 1, / });
    await first.waitFor({ timeout: 180_000 });
    await shot('poses');
    assert.match(await focusIn(bench), /^Pose \d, /);
    await page.keyboard.press('Home');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Enter');
    const now = await changed();
    const added = now.split('\n').filter((line) => !before.split('\n').includes(line));
    assert.match(added.join('\n'), /^ {4}turn: \[-?\d+, -?\d+, -?\d+\]/);
    const second = strip.getByRole('button', { name: /^Pose 2, / });
    const isMarked = async (): Promise<boolean> => (await second.getAttribute('aria-pressed')) === 'true';
    await bench.until('the pose marked', isMarked);
    await shot('pose-taken');
    await undo('lantern');
    await bench.until('the pose no longer marked', async () => !(await isMarked()));
    await strip.getByRole('button', { name: 'Close', exact: true }).click();
    await bench.until('no poses', async () => (await strip.count()) === 0);
  });

  await step('a proposal that is cancelled changes nothing and complains of nothing', async () => {
    await ask('torso', 'Kitwright: Propose a Pose…');
    const progress = notification('Proposing poses for torso');
    await progress.waitFor({ timeout: 60_000 });
    await progress.getByRole('button', { name: 'Cancel', exact: true }).click();
    await bench.until('the notification gone', async () => (await progress.count()) === 0);
    assert.equal(await strip.count(), 0);
    assert.equal(await page.locator('.notification-toast .codicon-error').count(), 0);
    assert.equal(await readFile(manifest, 'utf8'), before);
  });

  await step(
    'a split is chosen from a list; Escape leaves the manifest, Enter cuts, undo joins',
    async () => {
      await ask('base', 'Kitwright: Propose a Split…');
      await list.first().waitFor({ timeout: 180_000 });
      await page.waitForTimeout(500);
      await shot('splits');
      await page.keyboard.press('Escape');
      await bench.command('File: Save All');
      assert.equal(await readFile(manifest, 'utf8'), before);
      await ask('base', 'Kitwright: Propose a Split…');
      await list.first().waitFor({ timeout: 180_000 });
      await page.waitForTimeout(500);
      await page.keyboard.press('Enter');
      const now = await changed();
      for (const line of ['  base-a:', '  base-b:', '  base-seam:']) assert.ok(now.includes(line), line);
      await bench.turntable.locator('h1', { hasText: 'base-a' }).waitFor({ timeout: 120_000 });
      await shot('split');
      await undo('base');
    },
  );

  await step('plates for what is on none are one edit, told with what stays', async () => {
    await ask('torso', 'Kitwright: Propose Plates');
    await notification('in kit.yaml').waitFor({ timeout: 180_000 });
    // The new plate is brought into sight.
    await bench.page.locator('.view-line', { hasText: 'plate-1' }).first().waitFor({ timeout: 60_000 });
    await page.waitForTimeout(1000);
    await shot('plates');
    assert.match(await changed(), /^ {2}plate-1:/m);
    await undo('torso');
  });

  await step('a proof piece is written, and what to look for is told', async () => {
    await ask('head', 'Kitwright: Make a Proof Piece…');
    await bench.until('the piece', async () => {
      const file = path.join(kit, 'ready', 'head-proof.stl');
      return (await stat(file).catch(() => null)) !== null;
    });
    await notification('head-proof.stl').waitFor({ timeout: 60_000 });
    await page.waitForTimeout(1000);
    await shot('proof');
    await bench.command('Notifications: Clear All Notifications');
  });
}

/** How what has the focus in the turntable is called. */
const focusIn = (bench: WorkbenchPage): Promise<string> =>
  bench.turntable.locator(':focus').evaluate((element) => element.getAttribute('aria-label') ?? '');

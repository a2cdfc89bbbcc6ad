import assert from 'node:assert/strict';
import path from 'node:path';
import type { FrameLocator } from 'playwright-core';
import { colourCount } from './pixels.ts';
import type { WorkbenchPage } from './workbenchPage.ts';

type Step = (title: string, act: () => Promise<void>) => Promise<void>;

/** The builder looks at the kit as a whole: the view of its parts, and the figure assembled. */
export async function lookAtKit(bench: WorkbenchPage, screens: string, step: Step): Promise<void> {
  const { page } = bench;
  const shot = (name: string) =>
    page.screenshot({ path: path.join(screens, `journey-${name}.png`), timeout: 120_000 });
  const rows = page.locator('.pane-body [role="treeitem"]');
  const labels = () => rows.evaluateAll((all) => all.map((row) => row.getAttribute('aria-label') ?? ''));

  await step('the view Parts tells the state of every part, and a click goes to it', async () => {
    // The badge with the number of parts lies over the icon, and takes the click for it.
    await page.locator('.activitybar a.action-label[aria-label^="Kitwright"]').first().click({ force: true });
    await bench.until('every part checked', async () => {
      const told = await labels();
      return told.some((label) => label.startsWith('torso: ')) && !told.some((label) => /check/.test(label));
    });
    const told = await labels();
    const ofPart = (name: string) => told.find((label) => label.startsWith(`${name}: `)) ?? '';
    assert.match(
      ofPart('head'),
      /^head: needs a decision: openings for its hollow.*, \d+ × \d+ × \d+ mm, [\d.]+ ml slate/,
    );
    assert.match(ofPart('torso'), /^torso: printed, /);
    assert.match(ofPart('lamp-post'), /^lamp-post: 1 error, file-missing/);
    assert.ok(told.some((label) => label.startsWith('Plates')));
    await shot('parts');
    await rows.filter({ hasText: 'cap' }).first().click();
    await bench.until('the cursor at the part', async () => {
      const place = await page
        .locator('.statusbar-item', { hasText: /^Ln \d+, Col/ })
        .first()
        .textContent();
      return /\(3 selected\)/.test(place ?? '');
    });
  });

  await step('the whole figure is drawn beside the manifest, and a name leads back', async () => {
    await bench.command('Kitwright: Show the Whole Kit');
    const kit: FrameLocator = bench.turntable;
    const canvas = kit.locator('.picture canvas');
    await canvas.waitFor({ timeout: 180_000 });
    await bench.until(
      'pixels of many colours',
      async () => (await colourCount(page, await canvas.screenshot())) > 60,
    );
    await bench.until('all parts that can be read', async () =>
      /^The Lamplighter, 11 of 13 parts/.test((await canvas.getAttribute('aria-label')) ?? ''),
    );
    await shot('kit');
    await kit.getByRole('slider', { name: 'Pull apart' }).fill('60');
    await kit.getByRole('button', { name: 'Resin', exact: true }).click();
    await page.waitForTimeout(1_000);
    await shot('kit-apart');
    await kit.getByRole('button', { name: 'ladder', exact: true }).click();
    await bench.until('the cursor at the part', async () => {
      const place = await page
        .locator('.statusbar-item', { hasText: /^Ln \d+, Col/ })
        .first()
        .textContent();
      return /\(6 selected\)/.test(place ?? '');
    });
    await page.locator('.tab', { hasText: 'Kit: The Lamplighter' }).first().click();
    await bench.command('View: Close Editor');
    await bench.command('View: Show Explorer');
    // A palette that was slow to close may have closed one editor more.
    await bench.openFile('kit.yaml');
  });
}

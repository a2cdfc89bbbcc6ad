import type { FrameLocator, Page } from 'playwright-core';

/** Generous: a loaded machine takes a minute to start the extension host. */
const waitMs = 180_000;

/** The workbench as a person drives it: keyboard, palette, Problems, one turntable. */
export class WorkbenchPage {
  readonly page: Page;

  constructor(page: Page) {
    this.page = page;
  }

  get turntable(): FrameLocator {
    return this.page.frameLocator('iframe.webview.ready').frameLocator('iframe#active-frame');
  }

  async openFolder(url: string, folder: string): Promise<void> {
    await this.page.goto(`${url}/?${new URLSearchParams({ folder })}`, { timeout: waitMs });
    await this.page.locator('.monaco-workbench').waitFor({ timeout: waitMs });
    await this.page.locator('.statusbar-item').first().waitFor({ timeout: waitMs });
  }

  async command(title: string): Promise<void> {
    await this.#pick('F1', `>${title}`, title);
  }

  /** By the Explorer, as a file of the folder's top level; its tab, when it is open already. */
  async openFile(name: string): Promise<void> {
    const tab = this.page.locator('.tab', { hasText: name }).first();
    if ((await tab.count()) > 0) await tab.click();
    else
      await this.page
        .locator(`.explorer-folders-view [aria-label^="${name}"]`)
        .first()
        .dblclick({ timeout: waitMs });
    await this.page.locator('.tab.active', { hasText: name }).first().waitFor({ timeout: waitMs });
    await this.page.locator('.editor-instance .monaco-editor').first().waitFor({ timeout: waitMs });
  }

  /** Moves the cursor, and looks that it went there: a key can be lost while the workbench is busy. */
  async goTo({ line, column }: { readonly line: number; readonly column: number }): Promise<void> {
    const there = this.page.locator('.statusbar-item', { hasText: `Ln ${line}, Col ${column}` });
    await this.until(`the cursor at ${line}:${column}`, async () => {
      await this.#pick('Control+P', `:${line}:${column}`, '').catch(() => undefined);
      return there
        .first()
        .waitFor({ timeout: 3_000 })
        .then(() => true)
        .catch(() => false);
    });
  }

  /** Puts the cursor at the place, deletes the text there and types the other. */
  async replaceAt(
    place: { readonly line: number; readonly column: number },
    from: string,
    to: string,
  ): Promise<void> {
    await this.goTo(place);
    for (let i = 0; i < from.length; i++) await this.page.keyboard.press('Shift+ArrowRight');
    await this.page.keyboard.insertText(to);
    await this.page.keyboard.press('Escape');
  }

  async showProblems(): Promise<void> {
    await this.command('Problems: Focus on Problems View');
    await this.page.locator('.markers-panel').waitFor({ timeout: waitMs });
  }

  /** The list draws only the rows in view, so it is filtered anew, each time, to what is looked for. */
  async problems(filter: string): Promise<string[]> {
    const input = this.page.locator('.viewpane-filter-container input, .viewpane-filter input').first();
    for (const text of ['', filter]) {
      await input.fill(text);
      await this.page.waitForTimeout(500);
    }
    const rows = this.page.locator(
      '.markers-panel .marker-message-details-container, .markers-panel .message',
    );
    const texts = await rows.allTextContents();
    return texts.filter((text) => text.includes(filter));
  }

  async waitForProblem(text: string): Promise<string> {
    await this.until(`“${text}” in Problems`, async () => (await this.problems(text)).length > 0);
    return (await this.problems(text))[0] ?? '';
  }

  async waitForNoProblem(text: string): Promise<void> {
    await this.until(`no “${text}” in Problems`, async () => (await this.problems(text)).length === 0);
  }

  async until(what: string, probe: () => Promise<boolean>): Promise<void> {
    const deadline = Date.now() + waitMs;
    while (!(await probe())) {
      if (Date.now() > deadline) throw new Error(`Waited ${waitMs / 1000} s for ${what}.`);
      await this.page.waitForTimeout(100);
    }
  }

  async #pick(key: string, text: string, label: string): Promise<void> {
    const input = this.page.locator('.quick-input-widget input[type="text"]').first();
    // One that is still closing looks open for a moment, and takes no text.
    await this.until('the quick input', async () => {
      await this.page.keyboard.press(key);
      return input
        .waitFor({ state: 'visible', timeout: 2_000 })
        .then(() => input.fill(text, { timeout: 2_000 }))
        .then(() => true)
        .catch(() => false);
    });
    const rows = this.page.locator('.quick-input-list .monaco-list-row');
    await rows.first().waitFor({ timeout: waitMs });
    // Before it is filtered the list begins with what was run last.
    const named = rows.filter({ hasText: label }).first();
    const row = await named.waitFor({ timeout: 5_000 }).then(
      () => named,
      () => rows.first(),
    );
    await this.page.waitForTimeout(250);
    // By pointer: an Enter that comes as the picker closes would land in the manifest. The row goes as it
    // is clicked, so the click may not report its end; every caller looks at what it was to bring about.
    await row.click({ timeout: 15_000 }).catch(() => undefined);
    await this.page.waitForTimeout(250);
  }
}

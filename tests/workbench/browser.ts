import { type Browser, chromium } from 'playwright-core';
import { chromiumFlags } from '../browser.ts';

export function launchBrowser(executablePath: string): Promise<Browser> {
  return chromium.launch({ executablePath, args: [...chromiumFlags] });
}

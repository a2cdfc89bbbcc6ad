import { existsSync } from 'node:fs';

const places = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/usr/bin/google-chrome-stable',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** A Chromium to drive, or null: tests that need one skip then. `CHROMIUM` names another one. */
export function findChromium(): string | null {
  const { CHROMIUM: named } = process.env;
  if (named !== undefined && named !== '') return existsSync(named) ? named : null;
  return places.find((place) => existsSync(place)) ?? null;
}

export const noChromium =
  'No Chromium was found: install the package chromium, or set CHROMIUM to the path of one.';

/** Draws WebGL in software, needs no sandbox and asks the network for nothing. */
export const chromiumFlags: readonly string[] = [
  '--no-sandbox',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--ignore-gpu-blocklist',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

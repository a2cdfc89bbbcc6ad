import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const flags = [
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

/** A Chromium on this machine: `KITWRIGHT_CHROMIUM`, else the usual places; null when there is none. */
export function findChromium(): string | null {
  const { KITWRIGHT_CHROMIUM } = process.env;
  const places = [
    KITWRIGHT_CHROMIUM,
    '/usr/bin/chromium',
    '/usr/bin/chromium-browser',
    '/usr/bin/google-chrome',
  ];
  return places.find((place) => place !== undefined && existsSync(place)) ?? null;
}

export function launchBrowser(executablePath: string): Promise<Browser> {
  return chromium.launch({ executablePath, args: flags });
}

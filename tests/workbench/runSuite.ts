import { mkdir, readFile, rm } from 'node:fs/promises';
import path from 'node:path';
import { findChromium, noChromium } from '../browser.ts';
import { launchBrowser } from './browser.ts';
import { writeFixtureKit } from './fixtureKit.ts';
import { installWorkbench } from './install.ts';
import { print } from './print.ts';
import { type Server, startServer } from './server.ts';

const repository = process.cwd();
const suiteTimeoutMs = 8 * 60_000;

interface TestResult {
  readonly title: string;
  readonly state: string;
  readonly error: string | null;
  readonly milliseconds: number;
}

/** Runs the mocha suite inside the extension host of a real workbench, without a display. */
async function main(): Promise<number> {
  const chromium = findChromium();
  if (chromium === null) {
    print(`SKIPPED workbench suite: ${noChromium}`);
    return 0;
  }
  const cache = path.join(repository, '.cache');
  const results = path.join(cache, 'suite-results.json');
  await mkdir(cache, { recursive: true });
  await rm(results, { force: true });
  const workbench = await installWorkbench(repository);
  const kit = await writeFixtureKit();
  const server = await startServer(workbench, {
    smokeTestDriver: true,
    logFile: path.join(cache, 'suite-server.log'),
    environment: { KITWRIGHT_TEST_RESULTS: results },
  });
  try {
    const code = await runInBrowser(chromium, server, kit.folder).catch((error: unknown) => {
      print(`FAIL ${error instanceof Error ? error.message : error}`);
      return 1;
    });
    return (await report(results)) && code === 0 ? 0 : 1;
  } finally {
    await server.stop();
    await kit.remove();
  }
}

async function runInBrowser(chromium: string, server: Server, folder: string): Promise<number> {
  const browser = await launchBrowser(chromium);
  try {
    const page = await browser.newPage();
    const exit = new Promise<number>((resolve) => {
      void page.exposeFunction('codeAutomationExit', (code: number) => resolve(code));
    });
    await page.exposeFunction('codeAutomationLog', () => {});
    const timeout = new Promise<never>((_, reject) => {
      const message = `The suite did not end within ${suiteTimeoutMs / 60_000} minutes.`;
      setTimeout(() => reject(new Error(message)), suiteTimeoutMs).unref();
    });
    await page.goto(suiteUrl(server, folder), { timeout: suiteTimeoutMs });
    return await Promise.race([exit, timeout]);
  } finally {
    await browser.close();
  }
}

function suiteUrl(server: Server, folder: string): string {
  const remote = (file: string) => `vscode-remote://127.0.0.1:${server.port}${file}`;
  const payload = [
    ['extensionDevelopmentPath', remote(repository)],
    ['extensionTestsPath', remote(path.join(repository, 'dist', 'test', 'suite.cjs'))],
    ['skipWelcome', 'true'],
  ];
  const query = new URLSearchParams({ folder, payload: JSON.stringify(payload) });
  return `${server.url}/?${query}`;
}

async function report(file: string): Promise<boolean> {
  const results = JSON.parse(await readFile(file, 'utf8').catch(() => '[]')) as TestResult[];
  for (const { state, title, error, milliseconds } of results) {
    print(
      `${state === 'passed' ? 'ok  ' : state === 'pending' ? 'skip' : 'FAIL'} ${title} (${milliseconds} ms)`,
    );
    if (error !== null) print(error.replace(/^/gm, '       '));
  }
  const failed = results.filter(({ state }) => state === 'failed').length;
  print(`${results.length} workbench tests, ${failed} failed`);
  return results.length > 0 && failed === 0;
}

try {
  process.exitCode = await main();
} catch (error) {
  print(`FAIL workbench suite: ${error instanceof Error ? error.message : error}`);
  process.exitCode = 1;
}

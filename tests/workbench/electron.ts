import path from 'node:path';
import { runTests } from '@vscode/test-electron';
import { writeFixtureKit } from './fixtureKit.ts';
import { print } from './print.ts';

/**
 * Runs the same mocha suite in the desktop VS Code: the one at `vscodeExecutablePath` (environment),
 * else one that is downloaded.
 */
async function main(): Promise<void> {
  const repository = process.cwd();
  const kit = await writeFixtureKit();
  const { vscodeExecutablePath: executable } = process.env;
  try {
    await runTests({
      ...(executable === undefined ? {} : { vscodeExecutablePath: executable }),
      extensionDevelopmentPath: repository,
      extensionTestsPath: path.join(repository, 'dist', 'test', 'suite.cjs'),
      launchArgs: [kit.folder, '--disable-extensions', '--disable-workspace-trust'],
    });
  } finally {
    await kit.remove();
  }
}

try {
  await main();
  print('The suite passed in the desktop VS Code.');
} catch (error) {
  print(`FAIL ${error instanceof Error ? error.message : error}`);
  process.exitCode = 1;
}

import { writeFileSync } from 'node:fs';
import Mocha from 'mocha';

interface TestResult {
  readonly title: string;
  readonly state: 'passed' | 'failed' | 'pending';
  readonly error: string | null;
  readonly milliseconds: number;
}

/** Runs the suites inside the extension host. Results go to a file for whoever started the workbench. */
export async function run(): Promise<void> {
  const mocha = new Mocha({ ui: 'tdd', timeout: 120_000, color: false });
  mocha.suite.emit('pre-require', globalThis, '', mocha);
  await import('./activation.ts');
  await import('./findings.ts');
  await import('./language.ts');
  await import('./turntable.ts');
  await import('./makeReady.ts');
  const results: TestResult[] = [];
  const failures = await new Promise<number>((resolve) => {
    const runner = mocha.run(resolve);
    runner.on('pass', (test) => results.push(resultOf(test, 'passed', null)));
    runner.on('pending', (test) => results.push(resultOf(test, 'pending', null)));
    runner.on('fail', (test, error) =>
      results.push(
        resultOf(test, 'failed', error instanceof Error ? (error.stack ?? error.message) : String(error)),
      ),
    );
  });
  const { KITWRIGHT_TEST_RESULTS: file } = process.env;
  if (file !== undefined) writeFileSync(file, JSON.stringify(results, null, 2));
  if (failures > 0) throw new Error(`${failures} workbench tests failed.`);
}

function resultOf(test: Mocha.Runnable, state: TestResult['state'], error: string | null): TestResult {
  return { title: test.fullTitle(), state, error, milliseconds: test.duration ?? 0 };
}

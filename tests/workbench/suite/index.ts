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
  const { KITWRIGHT_TEST_GREP: grep } = process.env;
  const mocha = new Mocha({ ui: 'tdd', timeout: 120_000, color: false, ...(grep !== undefined && { grep }) });
  mocha.suite.emit('pre-require', globalThis, '', mocha);
  await import('./activation.ts');
  await import('./findings.ts');
  await import('./language.ts');
  await import('./turntable.ts');
  await import('./makeReady.ts');
  await import('./proposeOpenings.ts');
  await import('./proposePose.ts');
  await import('./proposeSupports.ts');
  await import('./proposePlates.ts');
  await import('./proposePins.ts');
  await import('./proofPiece.ts');
  await import('./coupon.ts');
  await import('./schedule.ts');
  await import('./journal.ts');
  await import('./quickFixes.ts');
  await import('./kit.ts');
  await import('./sideBySide.ts');
  const failures = await new Promise<number>((resolve) => {
    const runner = mocha.run(resolve);
    runner.on('pass', (test) => record(test, 'passed', null));
    runner.on('pending', (test) => record(test, 'pending', null));
    runner.on('fail', (test, error) => record(test, 'failed', error));
  });
  if (failures > 0) throw new Error(`${failures} workbench tests failed.`);
}

const results: TestResult[] = [];

/** Written after every test, so that a suite which hangs still tells how far it came. */
function record(test: Mocha.Runnable, state: TestResult['state'], failure: unknown): void {
  const error = failure instanceof Error ? (failure.stack ?? failure.message) : failure && String(failure);
  results.push({
    title: test.fullTitle(),
    state,
    error: typeof error === 'string' ? error : null,
    milliseconds: test.duration ?? 0,
  });
  const { KITWRIGHT_TEST_RESULTS: file } = process.env;
  if (file !== undefined) writeFileSync(file, JSON.stringify(results, null, 2));
}

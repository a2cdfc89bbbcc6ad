// `npm test`: sets up everything and runs every test. Ends with one line that counts them.
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import {
  heading,
  installPackages,
  onPath,
  print,
  repository,
  requireNode,
  run,
  runAndRead,
} from './machine.mjs';

const count = { passed: 0, failed: 0, skipped: 0 };
const notes = [];

requireNode(20);
installPackages();
installChromium();

step('Types', 'npm', ['run', '--silent', 'typecheck']);
step('Lint and format', 'npm', ['run', '--silent', 'lint']);
const built = step('Build', 'npm', ['run', '--silent', 'build']);
unitTests();
if (built && step('Build of the workbench tests', process.execPath, ['tests/workbench/build.mjs'])) {
  workbenchTests('Suite in a real workbench', 'runSuite.mjs');
  // A journey is driven by keys and pointer, and one that gets lost on a busy machine starts anew.
  workbenchTests('Journey in a real workbench', 'journey.mjs', 3);
}

heading('Result');
for (const note of notes) print(note);
print(`${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped`);
process.exit(count.failed === 0 ? 0 : 1);

/** A step that is no test counts only when it fails. */
function step(title, command, args) {
  heading(title);
  if (run(command, args) === 0) return true;
  count.failed++;
  notes.push(`FAILED ${title}`);
  return false;
}

function unitTests() {
  heading('Unit, reference, fuzz, engine and webview tests');
  const file = join('.cache', 'test-results.json');
  mkdirSync(join(repository, '.cache'), { recursive: true });
  rmSync(join(repository, file), { force: true });
  const vitest = join('node_modules', 'vitest', 'vitest.mjs');
  const args = [vitest, 'run', '--reporter=default', '--reporter=json', `--outputFile.json=${file}`];
  const code = run(process.execPath, args);
  const results = readResults(join(repository, file));
  count.passed += results.passed;
  count.failed += results.failed;
  count.skipped += results.skipped;
  if (results.skipped > 0) notes.push(`Skipped: ${results.skipped} tests that lack their data or a browser`);
  if (code === 0 || results.failed > 0) return;
  // A test file that cannot be loaded fails the run without a failed test.
  count.failed++;
  notes.push('FAILED test run: see above');
}

function readResults(file) {
  try {
    const { numPassedTests, numFailedTests, numPendingTests, numTodoTests } = JSON.parse(
      readFileSync(file, 'utf8'),
    );
    return { passed: numPassedTests, failed: numFailedTests, skipped: numPendingTests + (numTodoTests ?? 0) };
  } catch {
    return { passed: 0, failed: 0, skipped: 0 };
  }
}

/** The workbench programs print one line a test, starting with ok, FAIL, skip or SKIPPED. */
function workbenchTests(title, program, attempts = 1) {
  heading(title);
  const { code, output } = runAndRead(process.execPath, [join('dist', 'test', program)]);
  const lines = output.split('\n');
  const starting = (word) => lines.filter((line) => line.startsWith(`${word} `));
  const failed = starting('FAIL').length;
  if (attempts > 1 && (failed > 0 || code !== 0)) {
    notes.push(
      `${title}: an attempt failed (${starting('FAIL').join('; ') || `code ${code}`}) and was made again`,
    );
    return workbenchTests(`${title}, again`, program, attempts - 1);
  }
  const skipped = [...starting('skip'), ...starting('SKIPPED')];
  const passed = starting('ok').length;
  count.passed += passed;
  count.failed += failed;
  count.skipped += skipped.length;
  notes.push(...skipped.map((line) => `Skipped: ${title}: ${line.trim()}`));
  if (failed > 0 || (code === 0 && passed + skipped.length > 0)) return;
  count.failed++;
  notes.push(`FAILED ${title}: it ended with code ${code} after ${passed} tests`);
}

/** A browser for the webview and workbench tests, from Debian's packages when that is possible. */
function installChromium() {
  if (hasChromium()) return;
  if (process.getuid?.() !== 0 || onPath('apt-get') === null || !existsSync('/etc/debian_version')) {
    notes.push(
      'No Chromium: webview and workbench tests are skipped. Install it, or set CHROMIUM to its path.',
    );
    return;
  }
  heading('Installing Chromium (apt-get)');
  const options = { env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } };
  const install = ['install', '-y', '--no-install-recommends', 'chromium'];
  if (run('apt-get', install, options) === 0) return;
  run('apt-get', ['update'], options);
  if (run('apt-get', install, options) === 0) return;
  notes.push('Chromium could not be installed: webview and workbench tests are skipped.');
}

function hasChromium() {
  const named = process.env.CHROMIUM;
  if (named) return existsSync(named);
  return ['chromium', 'chromium-browser', 'google-chrome'].some((name) => onPath(name) !== null);
}

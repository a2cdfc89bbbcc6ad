// What both README commands need before anything is installed: Node's own modules only.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const repository = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const windows = process.platform === 'win32';

export function print(line = '') {
  process.stdout.write(`${line}\n`);
}

export function heading(text) {
  print(`\n== ${text}`);
}

/** Runs a command in the repository with its output shown; gives the exit code. */
export function run(command, args, extra = {}) {
  const result = spawnSync(command, args, { cwd: repository, stdio: 'inherit', shell: windows, ...extra });
  if (result.error) print(`${command} could not be started: ${result.error.message}`);
  return result.status ?? 1;
}

/** Runs a command, shows its output and returns it as well. */
export function runAndRead(command, args) {
  const result = spawnSync(command, args, { cwd: repository, encoding: 'utf8', maxBuffer: 256 << 20 });
  process.stdout.write(result.stdout ?? '');
  process.stderr.write(result.stderr ?? '');
  return { code: result.status ?? 1, output: result.stdout ?? '' };
}

/** Path of a program on the PATH, or null. */
export function onPath(name) {
  const endings = windows ? ['.cmd', '.exe', '.bat'] : [''];
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    for (const ending of endings) {
      const file = join(folder, name + ending);
      if (folder !== '' && existsSync(file)) return file;
    }
  }
  return null;
}

export function requireNode(major) {
  if (Number(process.versions.node.split('.')[0]) >= major) return;
  print(`Node ${major} or newer is needed; this is ${process.versions.node}.`);
  process.exit(1);
}

/** `npm ci`, unless what is installed is what the lock file asks for. */
export function installPackages() {
  if (packagesMatchLock()) return;
  heading('Installing packages (npm ci)');
  if (run('npm', ['ci', '--no-audit', '--no-fund']) === 0) return;
  print('npm ci failed: see above. It needs the npm registry.');
  process.exit(1);
}

function packagesMatchLock() {
  const wanted = readPackages(join(repository, 'package-lock.json'));
  const found = readPackages(join(repository, 'node_modules', '.package-lock.json'));
  if (wanted === null || found === null) return false;
  return Object.entries(wanted).every(([place, entry]) => {
    if (place === '') return true;
    const version = found[place]?.version;
    // Packages for other platforms are in the lock file but are not installed.
    return version === undefined ? entry.optional === true || entry.peer === true : version === entry.version;
  });
}

function readPackages(file) {
  try {
    return JSON.parse(readFileSync(file, 'utf8')).packages;
  } catch {
    return null;
  }
}

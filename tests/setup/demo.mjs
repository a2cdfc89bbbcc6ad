// `npm run demo`: sets up everything and does the main job on the sample kit.
import { spawn } from 'node:child_process';
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { heading, installPackages, onPath, print, repository, requireNode, run } from './machine.mjs';

const kit = 'sample-workspace';
const ready = join(kit, 'ready');

requireNode(20);
installPackages();

heading('Building');
if (run('npm', ['run', '--silent', 'build']) !== 0) process.exit(1);

heading(`Checking the sample kit (kitwright check ${kit})`);
const checked = kitwright(['check', kit]);

heading(`Making its sound parts ready (kitwright make-ready ${kit} --out ${ready})`);
const made = kitwright(['make-ready', kit, '--out', ready]);

// 1 = errors were found, and parts with errors were held back: the sample has them on purpose.
if (checked > 1 || made > 1) {
  print('\nThe sample could not be worked through: see above.');
  process.exit(1);
}
showWhereToLook();

function kitwright(args) {
  return run(process.execPath, [join('dist', 'kitwright.mjs'), ...args], { shell: false });
}

function showWhereToLook() {
  heading('Where to look');
  print(`The decisions, with the builder's notes:   ${join(repository, kit, 'kit.yaml')}`);
  print('What each finding means:                   README.md, "What each finding means"');
  print(`Meshes ready for slicing:                  ${join(repository, ready)}`);
  for (const name of readyFiles()) {
    print(`    ${name}  ${Math.ceil(statSync(join(repository, ready, name)).size / 1000)} kB`);
  }
  print('The sample has faults on purpose, one for each important finding. The torso has none.');
  openInCode();
}

function readyFiles() {
  const folder = join(repository, ready);
  return existsSync(folder) ? readdirSync(folder).sort() : [];
}

function openInCode() {
  const code = onPath('code');
  if (code === null) {
    print('\n`code` is not on the PATH. To see the kit in VS Code, run on a machine that has it:');
    print(`    code --extensionDevelopmentPath=${repository} ${join(repository, kit)}`);
    return;
  }
  print('\nOpening the kit in VS Code.');
  const args = [`--extensionDevelopmentPath=${repository}`, join(repository, kit)];
  spawn(code, args, { detached: true, stdio: 'ignore', shell: process.platform === 'win32' })
    .on('error', (error) => print(`VS Code did not start: ${error.message}`))
    .unref();
}

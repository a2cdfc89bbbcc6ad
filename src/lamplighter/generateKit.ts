import { mkdirSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { kitParts } from './kitParts.ts';

/** Writes every part, or the named ones (`cap.stl`), into a folder: `generateKit FOLDER [FILE…]`. */
function generateKit(folder: string, wanted: readonly string[]): void {
  mkdirSync(folder, { recursive: true });
  for (const [name, make] of Object.entries(kitParts)) {
    if (wanted.length > 0 && !wanted.includes(name)) continue;
    const bytes = make();
    const aside = join(folder, `${name}.part`);
    writeFileSync(aside, bytes);
    renameSync(aside, join(folder, name));
    process.stdout.write(`${name}: ${bytes.length} bytes\n`);
  }
}

const [folder, ...wanted] = process.argv.slice(2);
if (folder === undefined) {
  process.stderr.write('usage: generateKit FOLDER [FILE…]\n');
  process.exitCode = 2;
} else generateKit(folder, wanted);

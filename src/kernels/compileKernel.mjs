import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const folder = dirname(fileURLToPath(import.meta.url));
const root = dirname(dirname(folder));
const options = [
  '-O3',
  '--noAssert',
  '--runtime',
  'stub',
  '--enable',
  'simd',
  '--importMemory',
  '--use',
  'abort=',
];

/** Path of a kernel compiled from its source in this folder; compiled only when any source has changed. */
export async function compileKernel(name) {
  const file = join(root, '.cache/kernels', `${name}-${hashOfSources()}.wasm`);
  if (existsSync(file)) return file;
  mkdirSync(dirname(file), { recursive: true });
  const { default: compiler } = await import('assemblyscript/asc');
  // Under a name of its own until it is whole: another process may be compiling too.
  const draft = `${file}.${process.pid}`;
  const source = relative(process.cwd(), join(folder, `${name}.ts`));
  const { error, stderr } = await compiler.main([
    source,
    ...options,
    '--outFile',
    relative(process.cwd(), draft),
  ]);
  if (error) throw new Error(`The kernel ${name} does not compile:\n${stderr.toString()}`);
  renameSync(draft, file);
  return file;
}

function hashOfSources() {
  const hash = createHash('sha256').update(options.join(' '));
  for (const source of readdirSync(folder).sort())
    if (source.endsWith('.ts')) hash.update(source).update(readFileSync(join(folder, source)));
  hash.update(readFileSync(join(root, 'node_modules/assemblyscript/package.json')));
  return hash.digest('hex').slice(0, 16);
}

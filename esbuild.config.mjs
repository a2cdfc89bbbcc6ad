// Builds everything into dist/: `node esbuild.config.mjs [--watch]`.
import { copyFileSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, context } from 'esbuild';
import { compileKernel } from './src/kernels/compileKernel.mjs';

const watch = process.argv.includes('--watch');
const wasm = join(dirname(fileURLToPath(import.meta.resolve('manifold-3d'))), 'manifold.wasm');

const common = { bundle: true, sourcemap: 'linked', logLevel: 'warning', legalComments: 'none' };
// Shorter text is sooner read by a process that starts; names stay, for what a failure tells.
const shorter = { minifyWhitespace: !watch, minifySyntax: !watch };
const node = { ...common, ...shorter, platform: 'node', target: 'node20' };
// An ES module bundle has no `require`; some libraries ask for Node's own modules through it.
const requireBanner = {
  js: "import { createRequire as kitwrightCreateRequire } from 'node:module'; const require = kitwrightCreateRequire(import.meta.url);",
};

const builds = [
  {
    ...node,
    entryPoints: { extension: 'src/extension.ts' },
    outdir: 'dist',
    outExtension: { '.js': '.cjs' },
    format: 'cjs',
    external: ['vscode'],
  },
  {
    ...node,
    entryPoints: {
      engine: 'src/worker/engineMain.ts',
      partWorker: 'src/worker/partWorker.ts',
      refineWorker: 'src/worker/refineWorker.ts',
      kitwright: 'src/cli/main.ts',
    },
    outdir: 'dist',
    outExtension: { '.js': '.mjs' },
    format: 'esm',
    banner: requireBanner,
  },
  {
    ...common,
    entryPoints: {
      turntable: 'webview/turntable/main.ts',
      kit: 'webview/kit/main.ts',
    },
    outdir: 'dist/webview',
    platform: 'browser',
    target: 'chrome128',
    format: 'iife',
    minify: !watch,
  },
  // Its own pass: script and styles of a page bear the same name.
  { ...common, entryPoints: { kit: 'webview/kit/kit.css' }, outdir: 'dist/webview', sourcemap: false },
];

const fieldKernel = await compileKernel('fieldKernel');
rmSync('dist', { recursive: true, force: true });
mkdirSync('dist/webview', { recursive: true });
copyFileSync(wasm, 'dist/manifold.wasm');
copyFileSync(fieldKernel, 'dist/fieldKernel.wasm');
copyFileSync('webview/turntable/turntable.css', 'dist/webview/turntable.css');

if (watch) {
  for (const options of builds) await (await context(options)).watch();
} else {
  await Promise.all(builds.map((options) => build(options)));
  await writeSchema();
}

/** The manifest's JSON schema comes from the same key table as the checks. */
async function writeSchema() {
  const { outputFiles } = await build({
    ...node,
    entryPoints: ['src/core/kit/manifestSchema.ts'],
    format: 'esm',
    write: false,
    sourcemap: false,
  });
  const { manifestSchema } = await import(
    `data:text/javascript;base64,${Buffer.from(outputFiles[0].contents).toString('base64')}`
  );
  writeFileSync('dist/kit.schema.json', `${JSON.stringify(manifestSchema(), null, 2)}\n`);
}

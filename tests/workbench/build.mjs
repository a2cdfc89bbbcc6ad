// Bundles the workbench tests into dist/test; run after the product's own build.
import { build } from 'esbuild';

const common = {
  bundle: true,
  platform: 'node',
  target: 'node20',
  sourcemap: 'inline',
  logLevel: 'warning',
  outdir: 'dist/test',
};

await Promise.all([
  build({
    ...common,
    entryPoints: {
      runSuite: 'tests/workbench/runSuite.ts',
      journey: 'tests/workbench/journey.ts',
      electron: 'tests/workbench/electron.ts',
    },
    outExtension: { '.js': '.mjs' },
    format: 'esm',
    packages: 'external',
  }),
  build({
    ...common,
    entryPoints: { suite: 'tests/workbench/suite/index.ts' },
    outExtension: { '.js': '.cjs' },
    format: 'cjs',
    external: ['vscode', 'mocha'],
  }),
]);

import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../..');

/** Layers from the inside out: a file may import its own layer and those named after it. */
const mayImport: Record<string, readonly string[]> = {
  'src/core': [],
  'src/kernels': [],
  'src/solid': ['src/core'],
  'src/pipeline': ['src/core', 'src/solid', 'src/protocol'],
  'src/protocol': ['src/core'],
  'src/worker': ['src/core', 'src/pipeline', 'src/protocol'],
  'src/cli': ['src/core', 'src/protocol', 'src/worker/engineClient.ts'],
  'src/host': ['src/core', 'src/protocol', 'src/worker/engineClient.ts'],
  'src/features': ['src/core', 'src/protocol', 'src/host'],
  'src/extension.ts': ['src/host', 'src/features'],
  'src/lamplighter': ['src/core'],
  webview: ['src/core', 'src/protocol'],
};

/** Packages a layer may use; everything else from node_modules is refused. `node:` stands for all of Node. */
const mayUse: Record<string, readonly string[]> = {
  'src/core': ['yaml'],
  'src/kernels': [],
  'src/solid': ['manifold-3d'],
  'src/pipeline': ['node:', 'fast-png', 'fflate', 'meshoptimizer'],
  'src/protocol': [],
  'src/worker': ['node:'],
  'src/cli': ['node:'],
  'src/host': ['node:', 'vscode'],
  'src/features': ['node:', 'vscode'],
  'src/extension.ts': ['vscode'],
  'src/lamplighter': ['node:'],
  webview: ['three'],
};

const layers = Object.keys(mayImport);

function sources(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)));
}

const layerOf = (path: string): string | undefined =>
  layers.find((layer) => path === layer || path.startsWith(`${layer}/`));

const importPattern =
  /(?:^|\n)\s*(?:import|export)\s[^;'"]*?from\s*['"]([^'"]+)['"]|(?:^|\n)\s*import\s*['"]([^'"]+)['"]|import\(\s*['"]([^'"]+)['"]\s*\)/g;

function importsOf(file: string): string[] {
  return [...readFileSync(join(root, file), 'utf8').matchAll(importPattern)].map(
    (match) => (match[1] ?? match[2] ?? match[3])!,
  );
}

function offence(file: string, specifier: string): string | null {
  const layer = layerOf(file);
  if (layer === undefined) return `${file} belongs to no layer`;
  if (!specifier.startsWith('.')) {
    const allowed = mayUse[layer]!.some(
      (name) => specifier === name || specifier.startsWith(name.endsWith(':') ? name : `${name}/`),
    );
    return allowed ? null : `${file} (${layer}) uses ${specifier}`;
  }
  const target = relative(root, resolve(root, dirname(file), specifier));
  const inside = [layer, ...mayImport[layer]!].some(
    (place) => target === place || target.startsWith(`${place}/`),
  );
  return inside ? null : `${file} (${layer}) imports ${target}`;
}

const files = [...sources('src'), ...sources('webview')];

it('finds the sources', () => {
  expect(files.length).toBeGreaterThan(50);
  expect(importsOf('src/pipeline/stageCache.ts')).toContain('node:crypto');
});

it('keeps dependencies one way', () => {
  const offences = files.flatMap((file) => importsOf(file).map((specifier) => offence(file, specifier)));
  expect(offences.filter((text) => text !== null)).toEqual([]);
});

it('would notice an offence', () => {
  expect(offence('src/core/mesh/mesh.ts', 'node:fs')).not.toBeNull();
  expect(offence('src/core/mesh/mesh.ts', '../../solid/openSolid.ts')).not.toBeNull();
  expect(offence('src/features/check/register.ts', '../../pipeline/measurePart.ts')).not.toBeNull();
  expect(offence('webview/turntable/main.ts', 'node:fs')).not.toBeNull();
  expect(offence('src/core/mesh/mesh.ts', 'yamlish')).not.toBeNull();
});

it('has no import cycles in the core', () => {
  const graph = new Map(
    sources('src/core').map((file) => [
      file,
      importsOf(file)
        .filter((specifier) => specifier.startsWith('.'))
        .map((specifier) => relative(root, resolve(root, dirname(file), specifier))),
    ]),
  );
  const typeOnly = (file: string, target: string): boolean =>
    !new RegExp(
      `import\\s+(?!type)[^;]*from\\s*['"][^'"]*${target.split('/').at(-1)!.replace('.', '\\.')}['"]`,
    ).test(readFileSync(join(root, file), 'utf8'));
  const state = new Map<string, 'open' | 'done'>();
  const cycles: string[] = [];
  const visit = (file: string, trail: string[]): void => {
    if (state.get(file) === 'done') return;
    if (state.get(file) === 'open') {
      cycles.push([...trail, file].join(' → '));
      return;
    }
    state.set(file, 'open');
    for (const target of graph.get(file) ?? []) if (!typeOnly(file, target)) visit(target, [...trail, file]);
    state.set(file, 'done');
  };
  for (const file of graph.keys()) visit(file, []);
  expect(cycles).toEqual([]);
});

import { readFileSync } from 'node:fs';
import type { FieldKernel } from '../core/field/fieldKernel.ts';
import { typescriptKernel } from '../core/field/typescriptKernel.ts';
import { wasmFieldKernel } from './wasmFieldKernel.ts';

let kernel: FieldKernel | null = null;

/** The fastest field kernel this thread can have: the one beside the bundle, or its twin in plain code. */
export function fieldKernel(): FieldKernel {
  kernel ??= compiledKernel() ?? typescriptKernel;
  return kernel;
}

/** Null where the file is not there, as beside the sources, or the processor lacks what it needs. */
function compiledKernel(): FieldKernel | null {
  try {
    const bytes = readFileSync(new URL('./fieldKernel.wasm', import.meta.url));
    return wasmFieldKernel(new WebAssembly.Module(bytes));
  } catch {
    return null;
  }
}

import { join } from 'node:path';
import type { Manifest } from '../core/kit/manifest.ts';

/** Absolute paths of every STL that the kit is made from: no ready file is ever written over one. */
export const stlSources = ({ parts }: Manifest, kitDir: string): string[] =>
  parts.flatMap(({ file }) => (file === null ? [] : [join(kitDir, file)]));

import { resolve } from 'node:path';
import type { InspectParams } from '../protocol/engineApi.ts';
import { numberOption, refuse, turnOption } from './options.ts';

/** Options of the commands that take one STL without a manifest. */
export const meshOptions = {
  factor: { type: 'string' },
  turn: { type: 'string' },
  raise: { type: 'string' },
  wall: { type: 'string' },
  layer: { type: 'string' },
} as const;

type MeshOptionValues = { readonly [K in keyof typeof meshOptions]?: string | undefined };

/** The decisions told by options, the rest by the contract: factor 1, stands on the plate, solid. */
export function meshDecisions(
  positionals: readonly string[],
  values: MeshOptionValues,
): Omit<InspectParams, 'noCache'> {
  const [file, ...more] = positionals;
  if (file === undefined || more.length > 0) refuse('Name one STL file.');
  return {
    file: resolve(file),
    factor: numberOption('factor', values.factor, 1, { above: 0, below: 1e6 }),
    turn: turnOption(values.turn),
    raise: numberOption('raise', values.raise, 0, { above: -1e-9, below: 1000 }),
    wall: values.wall === undefined ? null : numberOption('wall', values.wall, 1.5, { above: 0, below: 100 }),
    layer: numberOption('layer', values.layer, 0.05, { above: 0, below: 10 }),
  };
}

/** Refuses these options where a manifest decides. */
export function refuseMeshOptions(values: MeshOptionValues): void {
  const given = Object.keys(meshOptions).filter(
    (name) => values[name as keyof MeshOptionValues] !== undefined,
  );
  if (given.length === 0) return;
  const names = given.map((name) => `--${name}`).join(', ');
  refuse(`${names}: for one STL file only. Of a kit's part the manifest decides; set it there.`);
}

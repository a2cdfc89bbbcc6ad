import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import type { LayerTable, PartSource } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { meshDecisions, meshOptions, refuseMeshOptions } from './meshOptions.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright layers (FILE.stl | KIT --part NAME) --csv` */
export async function layers(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      ...meshOptions,
      part: { type: 'string' },
      csv: { type: 'boolean', default: false },
    },
  });
  if (!values.csv) refuse('`layers` writes CSV: add --csv.');
  const ofFile = values.part === undefined && !isFolder(positionals[0]);
  if (!ofFile) refuseMeshOptions(values);
  const source: PartSource = ofFile
    ? { of: 'file', ...meshDecisions(positionals, values) }
    : {
        of: 'kit',
        kitDir: kitFolder(positionals),
        manifestText: null,
        part: values.part ?? refuse('Name the part: --part NAME.'),
      };
  const table = await engine.call(
    'layers',
    { source, noCache: values['no-cache'] },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(csv(table));
  return exitCodes.clean;
}

const isFolder = (path: string | undefined): boolean =>
  path === undefined || statSync(resolve(path), { throwIfNoEntry: false })?.isDirectory() === true;

function csv({ layerHeight, areaMm2, cupAreaMm2, pullN, overhangMm2, reserve }: LayerTable): string {
  const rows = [`layer,z_mm,area_mm2,cup_area_mm2,pull_n,overhang_mm2${reserve === null ? '' : ',reserve'}`];
  for (let layer = 0; layer < areaMm2.length; layer++) {
    const z = ((layer + 0.5) * layerHeight).toFixed(4);
    const figures = [areaMm2, cupAreaMm2, pullN, overhangMm2].map((values) => values[layer]!.toFixed(4));
    if (reserve !== null) figures.push(held(reserve[layer]!));
    rows.push(`${layer},${z},${figures.join(',')}`);
  }
  return `${rows.join('\n')}\n`;
}

/** Empty where nothing pulls. */
const held = (reserve: number): string => (Number.isFinite(reserve) ? reserve.toFixed(4) : '');

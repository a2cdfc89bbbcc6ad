import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { closingCaution } from '../core/kit/closingCaution.ts';
import { formatFinding } from '../core/kit/formatFinding.ts';
import { isErrorOfKit } from '../core/kit/isErrorOfKit.ts';
import type {
  MakeReadyParams,
  PlateFile,
  PlateItem,
  ReadyReport,
  StopperFile,
  WrittenFile,
} from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright make-ready [KIT] [--part NAME]… [--plate NAME]… [--out DIR] [--format stl|3mf] [--held apart|together] [--even-with-errors] [--json]` */
export async function makeReady(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: {
      ...commonOptions,
      part: { type: 'string', multiple: true },
      plate: { type: 'string', multiple: true },
      out: { type: 'string' },
      format: { type: 'string' },
      held: { type: 'string', default: 'apart' },
      'even-with-errors': { type: 'boolean', default: false },
    },
  });
  const { format, held } = values;
  if (format !== undefined && format !== 'stl' && format !== '3mf')
    refuse(`--format takes stl or 3mf, not \`${format}\`.`);
  if (held !== 'apart' && held !== 'together') refuse(`--held takes apart or together, not \`${held}\`.`);
  if (held === 'together' && values.plate !== undefined && values.part === undefined)
    refuse('--held together is for single parts: a plate keeps its parts and their supports apart.');
  const params: MakeReadyParams = {
    kitDir: kitFolder(positionals),
    manifestText: null,
    parts: values.part ?? null,
    out: values.out === undefined ? null : resolve(values.out),
    held,
    format: format ?? 'stl',
    // One file of several parts keeps them apart, and their names.
    plates: values.plate === undefined ? null : { names: values.plate, format: format ?? '3mf' },
    evenWithErrors: values['even-with-errors'],
    noCache: values['no-cache'],
  };
  const report = await engine.call('makeReady', params, { signal, onProgress: terminal.progress });
  terminal.print(values.json ? `${JSON.stringify(report, null, 2)}\n` : humanReport(report));
  return report.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport(report: ReadyReport): string {
  const { kit, written, refused, plates, refused_plates, findings } = report;
  // A plate that was asked for tells its own errors.
  const ofKit = findings.filter(isErrorOfKit);
  return [
    ...ofKit.map(formatFinding),
    ...written.flatMap(({ part, file, triangles, volume_ml, notes, stoppers, supports, held }) => [
      `${part}: ${file} (${held === 'together' ? 'with supports and raft, ' : ''}${triangles} triangles, ${volume_ml.toFixed(1)} ml)`,
      ...(stoppers === null ? [] : [`${part}: ${stoppersText(stoppers)}`]),
      ...(supports === null ? [] : [`${part}: ${supportsText(supports)}`]),
      ...notes.map((note) => `${part}: ${note}`),
    ]),
    ...refused.map(({ part, message }) => `${part}: not written. ${message}`),
    ...plates.flatMap(plateLines),
    ...refused_plates.map(({ plate, message }) => `plate ${plate}: not written. ${message}`),
    ...(written.some(({ stoppers }) => stoppers !== null) ? [closingCaution] : []),
    ...(written.length + refused.length + plates.length + refused_plates.length === 0
      ? [`${kit}: no part to make ready.`]
      : []),
    '',
  ].join('\n');
}

const plateLines = ({ plate, file, items, notes }: PlateFile): string[] => [
  `plate ${plate}: ${file} (${items.map(itemText).join('; ')})`,
  ...notes.map((note) => `plate ${plate}: ${note}`),
];

const itemText = ({ part, at_mm: [x, y], spin_deg, supports }: PlateItem): string =>
  `${part}${supports === null ? '' : ' with supports'} at ${x}, ${y} mm${spin_deg === 0 ? '' : `, spun ${spin_deg}°`}`;

const supportsText = ({ file, triangles, volume_ml }: WrittenFile): string =>
  `${file} (supports and raft, ${triangles} triangles, ${volume_ml.toFixed(1)} ml)`;

function stoppersText({ file, volume_ml, pieces }: StopperFile): string {
  const order = pieces.map(
    ({ number, opening, diameter_mm }) => `${number} ${opening} (${diameter_mm.toFixed(1)} mm)`,
  );
  return `${file} (${volume_ml.toFixed(2)} ml; from left to right and front to back: ${order.join(', ')})`;
}

import { resolve } from 'node:path';
import { parseArgs } from 'node:util';
import { closingCaution } from '../core/kit/closingCaution.ts';
import { formatFinding } from '../core/kit/formatFinding.ts';
import type { ReadyReport, StopperFile, WrittenFile } from '../protocol/engineApi.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright make-ready [KIT] [--part NAME]… [--out DIR] [--format stl|3mf] [--held apart|together] [--even-with-errors] [--json]` */
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
      out: { type: 'string' },
      format: { type: 'string', default: 'stl' },
      held: { type: 'string', default: 'apart' },
      'even-with-errors': { type: 'boolean', default: false },
    },
  });
  const { format, held } = values;
  if (format !== 'stl' && format !== '3mf') refuse(`--format takes stl or 3mf, not \`${format}\`.`);
  if (held !== 'apart' && held !== 'together') refuse(`--held takes apart or together, not \`${held}\`.`);
  const params = {
    kitDir: kitFolder(positionals),
    manifestText: null,
    parts: values.part ?? null,
    out: values.out === undefined ? null : resolve(values.out),
    format,
    held,
    evenWithErrors: values['even-with-errors'],
    noCache: values['no-cache'],
  } as const;
  const report = await engine.call('makeReady', params, { signal, onProgress: terminal.progress });
  terminal.print(values.json ? `${JSON.stringify(report, null, 2)}\n` : humanReport(report));
  return report.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport({ kit, written, refused, findings }: ReadyReport): string {
  const ofKit = findings.filter(({ part, severity }) => part === null && severity === 'error');
  return [
    ...ofKit.map(formatFinding),
    ...written.flatMap(({ part, file, triangles, volume_ml, notes, stoppers, supports, held }) => [
      `${part}: ${file} (${held === 'together' ? 'with supports and raft, ' : ''}${triangles} triangles, ${volume_ml.toFixed(1)} ml)`,
      ...(stoppers === null ? [] : [`${part}: ${stoppersText(stoppers)}`]),
      ...(supports === null ? [] : [`${part}: ${supportsText(supports)}`]),
      ...notes.map((note) => `${part}: ${note}`),
    ]),
    ...refused.map(({ part, message }) => `${part}: not written. ${message}`),
    ...(written.some(({ stoppers }) => stoppers !== null) ? [closingCaution] : []),
    ...(written.length + refused.length === 0 ? [`${kit}: no part to make ready.`] : []),
    '',
  ].join('\n');
}

const supportsText = ({ file, triangles, volume_ml }: WrittenFile): string =>
  `${file} (supports and raft, ${triangles} triangles, ${volume_ml.toFixed(1)} ml)`;

function stoppersText({ file, volume_ml, pieces }: StopperFile): string {
  const order = pieces.map(
    ({ number, opening, diameter_mm }) => `${number} ${opening} (${diameter_mm.toFixed(1)} mm)`,
  );
  return `${file} (${volume_ml.toFixed(2)} ml; from left to right and front to back: ${order.join(', ')})`;
}

import { parseArgs } from 'node:util';
import { formatFinding, tally } from '../core/kit/formatFinding.ts';
import type { CheckReport } from '../core/kit/report.ts';
import { plateLine } from '../core/plates/plateReport.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright check [KIT] [--part NAME]… [--json]` */
export async function check(args: string[], { engine, terminal, signal }: CommandContext): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, part: { type: 'string', multiple: true } },
  });
  const report = await engine.call(
    'check',
    {
      kitDir: kitFolder(positionals),
      manifestText: null,
      parts: values.part ?? null,
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(values.json ? `${JSON.stringify(report, null, 2)}\n` : humanReport(report));
  return report.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport(report: CheckReport): string {
  const lines = report.findings.map(formatFinding);
  const parts = Object.entries(report.parts).map(([name, { print, layers, hollow }]) => {
    const wall = hollow.wall_mm === null ? 'solid' : `wall ${hollow.wall_mm} mm`;
    return `  ${name}: ${layers.count} layers, ${wall}, ${print.liquid_ml.toFixed(0)} ml liquid, ${print.mass_g.toFixed(0)} g, ${print.hours.toFixed(1)} h, pull ${print.peak_pull_n.toFixed(0)} N at layer ${print.peak_pull_layer}`;
  });
  const plates = Object.entries(report.plates).map(([name, plate]) =>
    plate === null
      ? `  plate ${name}: not judged, since not all of its parts were measured`
      : `  ${plateLine(name, plate)}`,
  );
  return [...lines, `${report.kit}: ${tally(report.findings)}`, ...parts, ...plates, ''].join('\n');
}

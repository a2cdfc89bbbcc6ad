import { parseArgs } from 'node:util';
import { figureLine } from '../core/joints/figureReport.ts';
import { jointLine } from '../core/joints/jointReport.ts';
import { formatFinding, tally } from '../core/kit/formatFinding.ts';
import { changeText } from '../core/kit/ledger/compareLedgers.ts';
import { lightCaution } from '../core/kit/lightCaution.ts';
import type { CheckReport } from '../core/kit/report.ts';
import { lightLine } from '../core/lights/lightReport.ts';
import { plateLine } from '../core/plates/plateReport.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder, refuse } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright check [KIT] [--part NAME]… [--against ledger] [--json]` */
export async function check(args: string[], context: CommandContext): Promise<ExitCode> {
  const { engine, terminal, signal } = context;
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, part: { type: 'string', multiple: true }, against: { type: 'string' } },
  });
  if (values.against !== undefined) {
    if (values.against !== 'ledger') refuse(`--against takes ledger, not \`${values.against}\`.`);
    if (values.part !== undefined) refuse('--against ledger looks at the whole kit: leave --part out.');
    return againstLedger(kitFolder(positionals), values, context);
  }
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

/** Passes when the ledger is what would be recorded now, whatever was found and recorded with it. */
async function againstLedger(
  kitDir: string,
  { json, 'no-cache': noCache }: { readonly json: boolean; readonly 'no-cache': boolean },
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { report, changes } = await engine.call(
    'record',
    { kitDir, manifestText: null, write: false, noCache },
    { signal, onProgress: terminal.progress },
  );
  if (changes === null)
    return refuse(`${kitDir} has no ledger.yaml. Record one: kitwright record.`, 'ledger-missing');
  const isCurrent = changes.length === 0;
  const told = isCurrent
    ? ['The ledger is up to date.']
    : [
        ...changes.map((change) => changeText(change, report.kit)),
        'The ledger is out of date. Record it again: kitwright record.',
      ];
  terminal.print(
    json
      ? `${JSON.stringify({ ...report, against: { current: isCurrent, changes } }, null, 2)}\n`
      : `${humanReport(report)}${told.join('\n')}\n`,
  );
  return isCurrent ? exitCodes.clean : exitCodes.errorsFound;
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
  const joints = report.joints.map((joint) => `  ${jointLine(joint)}`);
  const whole = report.assembled === null ? [] : [`  ${figureLine(report.assembled)}`];
  const lights = Object.entries(report.lights).flatMap(([name, light]) =>
    light === null ? [] : [`  ${lightLine(name, light)}`],
  );
  const caution = lights.length === 0 ? [] : [lightCaution];
  return [
    ...lines,
    `${report.kit}: ${tally(report.findings)}`,
    ...parts,
    ...plates,
    ...joints,
    ...whole,
    ...lights,
    ...caution,
    '',
  ].join('\n');
}

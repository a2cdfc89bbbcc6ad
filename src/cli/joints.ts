import { parseArgs } from 'node:util';
import { figureLine } from '../core/joints/figureReport.ts';
import { clearanceText, type GapReport, type JointReport, jointTitle } from '../core/joints/jointReport.ts';
import { formatFinding, tally } from '../core/kit/formatFinding.ts';
import type { CheckReport } from '../core/kit/report.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { commonOptions, kitFolder } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright joints [KIT] [--json]` */
export async function joints(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({ args, allowPositionals: true, options: commonOptions });
  const report = await engine.call(
    'check',
    {
      kitDir: kitFolder(positionals),
      manifestText: null,
      parts: null,
      noCache: values['no-cache'],
    },
    { signal, onProgress: terminal.progress },
  );
  const told = jointsOf(report);
  terminal.print(values.json ? `${JSON.stringify(told, null, 2)}\n` : humanReport(told));
  return told.ok ? exitCodes.clean : exitCodes.errorsFound;
}

/** What a check tells of how the parts go together. */
function jointsOf({ kit, joints, assembled, findings }: CheckReport) {
  const own = findings.filter(
    ({ code }) =>
      code.startsWith('joint-') ||
      code === 'clearance-thins-wall' ||
      code === 'pin-weak' ||
      code === 'figure-tips-over',
  );
  return { kit, ok: !own.some(({ severity }) => severity === 'error'), joints, assembled, findings: own };
}

function humanReport({ kit, joints, assembled, findings }: ReturnType<typeof jointsOf>): string {
  const rows = joints.flatMap((joint) => [
    jointTitle(joint),
    `  all faces      ${gapText(joint.gap)}`,
    ...(joint.slide === null ? [] : [`  sliding faces  ${gapText(joint.slide)}`]),
    ...comesOut(joint),
    ...(joint.overlap === null
      ? []
      : [`  overlap        ${joint.overlap.depth_mm.toFixed(2)} mm deep, ${joint.overlap.volume_ml} ml`]),
    ...clearanceRows(joint),
    ...loadRows(joint),
  ]);
  return [
    `${kit}: ${joints.length} joints. Gaps in mm: the least, under it 5, 25, 50, 75 and 95 % of the area, the greatest.`,
    ...rows,
    ...(assembled === null ? [] : [figureLine(assembled)]),
    ...findings.map(formatFinding),
    tally(findings),
    '',
  ].join('\n');
}

function comesOut({ comes_out: fit }: JointReport): string[] {
  if (fit.tightest_mm === 0 && fit.loosest_mm === 0) return [];
  const signed = (mm: number): string => `${mm > 0 ? '+' : ''}${mm.toFixed(2)}`;
  const known = fit.known_mm === 0 ? '' : `, ${signed(fit.known_mm)} of it by stray light in the socket`;
  const open = fit.unmeasured.length === 0 ? '' : `; not calibrated: ${fit.unmeasured.join(', ')}`;
  return [
    `  comes out      ${signed(fit.tightest_mm)} mm at the tightest, ${signed(fit.loosest_mm)} at the loosest${known}${open}`,
  ];
}

function clearanceRows({ clearance }: JointReport): string[] {
  if (clearance === null) return [];
  const { gap, slide, cut_mm } = clearance;
  const told = `  ${clearanceText(clearance).replace('clearance ', 'clearance      ')}`;
  if (cut_mm === 0) return [told];
  const sliding = slide === null ? [] : [`    sliding then ${gapText(slide)}`];
  return [told, `    all then     ${gapText(gap)}`, ...sliding];
}

function loadRows({ load, pin }: JointReport): string[] {
  if (load === null) return [];
  const beyond = `  bears          ${load.mass_g.toFixed(0)} g (${load.beyond.join(', ')}), ${load.lever_mm.toFixed(0)} mm beside it, ${load.moment_nm.toFixed(3)} N·m`;
  if (pin === null) return [beyond];
  const rod = `  pin            ${pin.diameter_mm.toFixed(2)} mm, ${pin.reserve.toFixed(1)} times the load; ${pin.needed_mm.toFixed(2)} mm needed, ${pin.needed_depth_mm.toFixed(1)} mm deep`;
  return [beyond, rod];
}

function gapText(gap: GapReport): string {
  const { least_mm, q05_mm, q25_mm, median_mm, q75_mm, q95_mm, greatest_mm } = gap;
  const figures = [least_mm, q05_mm, q25_mm, median_mm, q75_mm, q95_mm, greatest_mm];
  return `${gap.area_mm2.toFixed(0).padStart(6)} mm²  ${figures.map((mm) => mm.toFixed(2).padStart(6)).join(' ')}`;
}

import { parseArgs } from 'node:util';
import { formatFinding, tally } from '../core/kit/formatFinding.ts';
import type { InspectReport, PartReport } from '../core/kit/report.ts';
import { type ExitCode, exitCodes } from './exitCodes.ts';
import { meshDecisions, meshOptions } from './meshOptions.ts';
import { commonOptions } from './options.ts';
import type { CommandContext } from './terminal.ts';

/** `kitwright inspect FILE.stl [--factor F] [--turn X,Y,Z] [--raise MM] [--wall W] [--layer H] [--json]` */
export async function inspect(
  args: string[],
  { engine, terminal, signal }: CommandContext,
): Promise<ExitCode> {
  const { values, positionals } = parseArgs({
    args,
    allowPositionals: true,
    options: { ...commonOptions, ...meshOptions },
  });
  const decisions = meshDecisions(positionals, values);
  const report = await engine.call(
    'inspect',
    { ...decisions, noCache: values['no-cache'] },
    { signal, onProgress: terminal.progress },
  );
  terminal.print(values.json ? `${JSON.stringify(report, null, 2)}\n` : humanReport(report));
  return report.ok ? exitCodes.clean : exitCodes.errorsFound;
}

function humanReport({ file, part, findings, assumptions }: InspectReport): string {
  const figures = figuresOf(part).map(([label, value]) => `  ${label.padEnd(18)} ${value}`);
  return [
    ...findings.map(formatFinding),
    `${file}: ${tally(findings)}`,
    ...figures,
    `Judged with ${assumptions.length} defaults for machine, film and resin; a kit.yaml can set them (--json lists them).`,
    '',
  ].join('\n');
}

function figuresOf({ mesh, hollow, layers, islands, cups, print }: PartReport): [string, string][] {
  return [
    ['triangles', `${mesh.triangles} (${mesh.vertices} vertices, ${mesh.shells} shells)`],
    [
      'watertight',
      mesh.watertight
        ? 'yes'
        : `no: ${mesh.open_edges} open, ${mesh.nonmanifold_edges} non-manifold, ${mesh.misoriented_edges} misoriented edges`,
    ],
    ['size', `${mesh.size_mm.map((value) => value.toFixed(2)).join(' × ')} mm`],
    ['volume', `${mesh.volume_ml.toFixed(2)} ml, surface ${mesh.area_mm2.toFixed(0)} mm²`],
    [
      'resin',
      `${hollow.resin_ml.toFixed(2)} ml cured, ${print.liquid_ml.toFixed(2)} ml liquid, ${print.mass_g.toFixed(0)} g`,
    ],
    ['chambers', hollow.chambers.map(({ volume_ml }) => `${volume_ml.toFixed(1)} ml`).join(', ') || 'none'],
    [
      'layers',
      `${layers.count} of ${layers.layer_mm} mm, largest ${layers.peak_area_mm2.toFixed(0)} mm² at layer ${layers.peak_area_layer}`,
    ],
    ['islands, cups', `${islands.length}, ${cups.length}`],
    ['pull', `${print.peak_pull_n.toFixed(1)} N at layer ${print.peak_pull_layer}`],
    ['time', `${print.hours.toFixed(1)} h`],
  ];
}

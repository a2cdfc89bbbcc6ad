import type { PartState, PartStateKind } from '../../core/kit/partState.ts';
import type { PartReport } from '../../core/kit/report.ts';
import { figure } from '../../core/kit/rules/figures.ts';
import type { ShownFinding } from '../../host/shownFinding.ts';

export interface Icon {
  readonly name: string;
  readonly colour: string | null;
}

/** Each a shape of its own, so that nothing hangs on the colour. */
export const stateIcons: Record<PartStateKind, Icon> = {
  printed: { name: 'verified-filled', colour: 'testing.iconPassed' },
  checking: { name: 'loading~spin', colour: null },
  decision: { name: 'question', colour: 'charts.blue' },
  errors: { name: 'error', colour: 'list.errorForeground' },
  warnings: { name: 'warning', colour: 'list.warningForeground' },
  ready: { name: 'pass', colour: 'testing.iconPassed' },
  unchecked: { name: 'circle-large-outline', colour: null },
};

export interface PartInput {
  readonly name: string;
  readonly state: PartState;
  readonly report: PartReport | null;
  /** As named in the manifest. */
  readonly resin: string | null;
  readonly copies: number;
  readonly worst: ShownFinding | null;
  readonly findings: readonly ShownFinding[];
}

/** Behind the name: size, resin, what is said most loudly. */
export function partDescription({ report, resin, copies, state, worst }: PartInput): string {
  const size = report === null ? [] : [sizeText(report), resinText(report, resin)];
  const told =
    state.kind === 'decision' || worst === null ? [state.words] : [`${state.words}, ${worst.code}`];
  return [...(copies > 1 ? [`× ${copies}`] : []), ...told, ...size].join(' · ');
}

/** What a screen reader says of the row. */
export const partLabel = (input: PartInput): string =>
  `${input.name}: ${partDescription(input).replaceAll(' · ', ', ')}`;

const mostTold = 8;

/** In Markdown; texts out of the manifest are not trusted to be none. */
export function partTooltip(input: PartInput, plain: (text: string) => string): string {
  const { name, state, report, resin, findings } = input;
  const figures =
    report === null ? [] : [`${sizeText(report)}, ${resinText(report, resin)}, ${printText(report)}`];
  const told = findings
    .slice(0, mostTold)
    .map(({ severity, code, message }) => `- ${severity} \`${code}\`: ${plain(message)}`);
  const more = findings.length - told.length;
  return [
    `**${plain(name)}**: ${plain(state.words)}`,
    ...figures.map(plain),
    [...told, ...(more > 0 ? [`- and ${more} more`] : [])].join('\n'),
  ]
    .filter((text) => text !== '')
    .join('\n\n');
}

const sizeText = ({ mesh }: PartReport): string =>
  `${mesh.size_mm.map((mm) => mm.toFixed(0)).join(' × ')} mm`;

const resinText = ({ print }: PartReport, resin: string | null): string =>
  `${figure(print.liquid_ml, 'ml')}${resin === null ? '' : ` ${resin}`}`;

const printText = ({ print }: PartReport): string =>
  `${figure(print.mass_g, 'g')}, ${figure(print.hours, 'h')}, worst pull ${figure(print.peak_pull_n, 'N')}`;

import { growthExponent } from './growth.ts';
import { references } from './references.ts';
import type { Summary } from './timing.ts';

/** Growth above this is named. */
const NEAR_LINEAR = 1.15;

export interface SizeResult {
  readonly triangles: number;
  readonly engine: readonly Summary[];
  readonly references: readonly Summary[];
  readonly commandLine: readonly Summary[];
}

const seconds = (ms: number): string => (ms / 1000).toFixed(ms < 100 ? 3 : 2);
const markdown = (head: readonly string[], rows: readonly (readonly string[])[]): string =>
  [head, head.map(() => '---'), ...rows].map((cells) => `| ${cells.join(' | ')} |`).join('\n');

/** One size: every stage, and beside it the reference's stage where there is one. */
export function sizeTable({ engine, references: others, commandLine }: SizeResult): string {
  const three = others.find(({ stage }) => stage === references['read + weld']);
  const rows = [...engine, ...commandLine].map((own): string[] => {
    const whole = commandLine.includes(own);
    const other = whole ? three : others.find(({ stage }) => stage === references[own.stage]);
    return [
      own.stage,
      seconds(own.medianMs),
      `${seconds(own.leastMs)} – ${seconds(own.mostMs)}`,
      own.cpuMs === null ? '' : seconds(own.cpuMs),
      own.peakMiB === null ? '' : own.peakMiB.toFixed(0),
      other ? other.stage : '',
      other ? `${seconds(other.medianMs)} (${seconds(other.leastMs)} – ${seconds(other.mostMs)})` : '',
      other ? (own.medianMs / other.medianMs).toFixed(3) : '',
    ];
  });
  const head = [
    'stage',
    'median s',
    'range s',
    'processor s',
    'peak MiB so far',
    'reference',
    'its s',
    'ratio',
  ];
  return markdown(head, rows);
}

/** Processor time of every stage (median) against triangles or layers, with the exponent of growth. */
export function growthTable(
  of: string,
  sizes: readonly number[],
  columns: readonly (readonly Summary[])[],
): { readonly table: string; readonly named: string[] } {
  const named: string[] = [];
  const rows = columns[0]!.map(({ stage }, i) => {
    const costs = columns.map((column) => column[i]!.cpuMs ?? column[i]!.medianMs);
    const exponent = growthExponent(sizes, costs);
    const span = `${seconds(costs[0]!)} to ${seconds(costs[costs.length - 1]!)} s`;
    if (exponent > NEAR_LINEAR) {
      named.push(`${stage} grows with ${of} to the power ${exponent.toFixed(2)}, from ${span}`);
    }
    return [stage, ...costs.map(seconds), exponent.toFixed(2)];
  });
  return { table: markdown([`stage, processor s, by ${of}`, ...sizes.map(String), 'exponent'], rows), named };
}

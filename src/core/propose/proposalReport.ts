import { findingTable } from '../kit/findingTable.ts';
import type { PartFacts } from '../kit/partFacts.ts';
import { roundTo } from '../kit/rounding.ts';
import { openingName } from '../kit/rules/figures.ts';
import type { OpeningId, OpeningKind } from '../openings/opening.ts';
import type { Vec3 } from '../vector.ts';
import type { Choice } from './choice.ts';
import type { Judgement } from './judgement.ts';
import type { Proposal } from './proposeOpenings.ts';

/** What is proposed for one part, for people and programs: `propose openings --json`. */
const KEPT = 'kept as it is';

export interface ProposalReport {
  readonly openings: readonly {
    readonly id: OpeningId;
    readonly kind: OpeningKind;
    /** Source coordinates, print mm. */
    readonly at: Vec3;
    readonly diameter: number;
    readonly depth: number | null;
    readonly toward: Vec3 | null;
    /** Its id in the manifest; null when it is new. */
    readonly was: OpeningId | null;
    /** A phrase: why here, or what was changed. */
    readonly why: string;
  }[];
  /** The builder's openings that are left out. */
  readonly left_out: readonly { readonly id: OpeningId; readonly why: string }[];
  readonly before: ProposalFigures;
  readonly after: ProposalFigures;
  /** Findings about openings that stay: no opening cures them. */
  readonly unmet: readonly { readonly code: string; readonly severity: string; readonly message: string }[];
}

export interface ProposalFigures {
  readonly opening_findings: number;
  readonly sealed_layers: number;
  readonly worst_suction_n: number;
  readonly peak_pull_n: number;
  readonly trapped_ml: number;
  /** However it is held for the wash. */
  readonly left_ml: number;
}

export function proposalReport({ choices, left, before, after, unmet }: Proposal): ProposalReport {
  return {
    openings: choices.map((choice) => {
      const { decision, was, changes, place } = choice;
      return {
        id: decision.id,
        kind: decision.kind,
        at: decision.at,
        diameter: decision.diameter,
        depth: decision.depth ?? null,
        toward: decision.toward ?? null,
        was,
        why: place === null ? keptText(changes) : [place, ...reasons(choice, after)].join('; '),
      };
    }),
    left_out: left.map(({ decision, said }) => ({ id: decision.id, why: said })),
    before: figuresOf(before),
    after: figuresOf(after),
    unmet: unmet.map(({ code, message }) => ({ code, severity: findingTable[code].severity, message })),
  };
}

const keptText = (changes: readonly string[]): string => (changes.length > 0 ? changes.join(', ') : KEPT);

/** What a new opening is needed for, and why it is no narrower. */
function reasons({ without, narrower, decision, least }: Choice, after: Judgement): string[] {
  const size =
    narrower === undefined
      ? `${decision.diameter} mm is ${least?.mm === decision.diameter ? least.why : 'the narrowest that is proposed'}`
      : `with ${narrower.diameterMm} mm ${lost(narrower.judgement, after)}`;
  return without === undefined ? [size] : [`without it ${lost(without, after)}`, size];
}

/** What is worse than it will be: findings that come, else the figure that rises most. */
function lost(worse: Judgement, after: Judgement): string {
  const known = new Set(after.faults.map(({ code }) => code));
  const more = [...new Set(worse.faults.map(({ code }) => code))].filter((code) => !known.has(code));
  if (more.length > 0) return `there is ${more.join(' and ')}`;
  const [a, b] = [figuresOf(worse), figuresOf(after)];
  if (a.opening_findings > b.opening_findings) {
    return `there are ${a.opening_findings - b.opening_findings} findings more`;
  }
  return a.worst_suction_n > b.worst_suction_n
    ? `the worst suction is ${a.worst_suction_n} N, not ${b.worst_suction_n} N`
    : 'the layers pull harder';
}

function figuresOf({ facts, faults }: Judgement): ProposalFigures {
  const { drains, hollow } = facts;
  const { cups, peakPullN, trappedMm3 } = facts.loads;
  const most = (values: readonly number[]): number => Math.max(0, ...values);
  return {
    opening_findings: faults.length,
    sealed_layers: most(cups.map(({ sealedLayers }) => sealedLayers)),
    worst_suction_n: roundTo(most(cups.map((cup) => cup.peakPullN)), 2),
    peak_pull_n: roundTo(peakPullN, 2),
    trapped_ml: roundTo(trappedMm3.reduce((sum, mm3) => sum + mm3, 0) / 1000, 3),
    left_ml: roundTo(
      hollow.chambers.reduce((sum, { volumeMm3 }, n) => sum + leftOf(drains[n], volumeMm3), 0) / 1000,
      3,
    ),
  };
}

/** All of a chamber without openings, or without air. */
const leftOf = (drain: PartFacts['drains'][number] | undefined, volumeMm3: number): number =>
  drain == null || drain.air === 'none' ? volumeMm3 : drain.leftMm3;

/** How many of the builder's openings it changes or leaves out, and how many it adds. */
export const changesOf = ({ openings, left_out }: ProposalReport): number =>
  left_out.length + openings.filter(({ was, why }) => was === null || why !== KEPT).length;

/** The proposal in a few lines: what, why, and what it changes. */
export function proposalText(part: string, report: ProposalReport): string {
  const lines = report.openings.map(
    ({ id, was, diameter, at, depth, why }) =>
      `  ${openingName(id)}${was === null ? ' (new)' : was === id ? '' : ` (was ${openingName(was)})`}: ${diameter} mm at ${at.join(', ')}${depth === null ? '' : `, ${depth} mm deep`}: ${why}`,
  );
  const left = report.left_out.map(({ id, why }) => `  ${openingName(id)}: left out. ${why}`);
  const { before, after } = report;
  const change = (name: string, key: keyof ProposalFigures, unit: string): string[] =>
    before[key] === after[key] ? [] : [`${name} ${before[key]} → ${after[key]}${unit}`];
  const changes = [
    ...change('findings about openings', 'opening_findings', ''),
    ...change('layers sealed', 'sealed_layers', ''),
    ...change('worst suction', 'worst_suction_n', ' N'),
    ...change('worst pull', 'peak_pull_n', ' N'),
    ...change('left while it hangs', 'trapped_ml', ' ml'),
    ...change('left in the wash', 'left_ml', ' ml'),
  ];
  const unmet = report.unmet.map(({ code, severity, message }) => `  stays: ${severity} ${code} ${message}`);
  return [
    `${part}: ${changes.length > 0 ? changes.join(', ') : 'nothing to change'}`,
    ...lines,
    ...left,
    ...unmet,
  ].join('\n');
}

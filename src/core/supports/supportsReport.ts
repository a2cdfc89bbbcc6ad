import type { Finding } from '../kit/finding.ts';
import type { FindingCode } from '../kit/findingTable.ts';
import { roundTo } from '../kit/rounding.ts';
import { plural } from '../kit/rules/figures.ts';
import type { SupportStep } from './nextSupportStep.ts';
import type { SupportFacts } from './supportPlan.ts';

/** How a part would be held: what is decided otherwise, and what comes of it. */
export interface SupportsReport {
  readonly steps: readonly SupportStep[];
  /** Null where it needs none. */
  readonly supports: {
    readonly count: number;
    /** Of these, standing on the part itself, and with a tip on the show side. */
    readonly on_part: number;
    readonly on_show: number;
    readonly widest_tip_mm: number;
    readonly resin_ml: number;
    /** How many times its load the weakest tip or foot bears, and in which layer; null where nothing pulls. */
    readonly reserve: number | null;
    readonly reserve_layer: number | null;
  } | null;
  /** What is still said of how it is held, or no longer fits. */
  readonly unmet: readonly Pick<Finding, 'code' | 'severity' | 'message'>[];
}

/** What a check says of how a part is held, and of the room that it then needs. */
export const holdCodes: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'needs-supports',
  'starts-in-air',
  'contact-cut',
  'island-unheld',
  'tip-overloaded',
  'hold-weak',
  'raft-meets-part',
  'raft-outside',
  'support-idle',
  'strut-slender',
  'tip-on-show-side',
  'too-tall',
  'outside-plate',
]);

export function supportsReport(
  steps: readonly SupportStep[],
  facts: SupportFacts | null,
  findings: readonly Finding[],
): SupportsReport {
  return {
    steps,
    supports: facts && {
      count: facts.supports.length,
      on_part: facts.supports.filter(({ stands }) => stands === 'part').length,
      on_show: facts.supports.filter(({ contact }) => contact.onShow).length,
      widest_tip_mm: roundTo(Math.max(0, ...facts.supports.map(({ tipMm }) => tipMm)), 2),
      resin_ml: roundTo(facts.volumeMm3 / 1000, 3),
      reserve: facts.worst && roundTo(facts.worst.reserve, 3),
      reserve_layer: facts.worst?.layer ?? null,
    },
    unmet: findings.map(({ code, severity, message }) => ({ code, severity, message })),
  };
}

/** The proposal in a few lines: how it is held, what is decided for it, and what stays. */
export function supportsText(part: string, { steps, supports, unmet }: SupportsReport): string {
  return [
    `${part}: ${supports === null ? heldByNone(unmet) : summaryOf(supports)}`,
    ...steps.map((step) => `  ${stepText(step)}`),
    ...unmet.map(({ code, severity, message }) => `  stays: ${severity} ${code} ${message}`),
  ].join('\n');
}

/** Of a part without supports. */
export const heldByNone = (unmet: SupportsReport['unmet']): string =>
  unmet.length === 0 ? 'stands by itself' : 'without supports';

function summaryOf(supports: NonNullable<SupportsReport['supports']>): string {
  const { count, on_part, on_show, widest_tip_mm, resin_ml, reserve, reserve_layer } = supports;
  const inside = on_part === 0 ? '' : `, ${on_part} of them standing on the part`;
  const marks = on_show === 0 ? '' : `, ${on_show} on the show side`;
  const holds =
    reserve === null ? '' : `; the weakest bears ${reserve} times its load, in layer ${reserve_layer}`;
  return `${plural(count, 'support')}${inside}${marks}, the widest tip ${widest_tip_mm} mm, ${resin_ml} ml${holds}`;
}

function stepText(step: SupportStep): string {
  const name = step.key === 'widest-tip' ? 'supports.widest-tip' : step.key;
  const value = step.key === 'supports' ? step.value : `${step.was} → ${step.value} mm`;
  return `${name}: ${value}, so that ${step.why}`;
}

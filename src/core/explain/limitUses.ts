import type { FindingDraft, Severity } from '../kit/finding.ts';
import { type FindingCode, findingTable } from '../kit/findingTable.ts';
import type { PartContext } from '../kit/rules/ruleContext.ts';

/** How a part stands against one limit. */
export interface LimitUse {
  readonly code: FindingCode;
  /** Null where it keeps within the limit, so that nothing is found. */
  readonly severity: Severity | null;
  /** Null where the finding has no figures to set against each other: it is there or it is not. */
  readonly measured: number | null;
  readonly limit: number | null;
  readonly unit: string;
  /** How far it uses the limit: above 1 is beyond it. 1 where a finding has no figures. */
  readonly share: number;
}

/** Beyond this many times its limit a figure is simply far beyond it. */
const MOST_SHARE = 1000;

/** By code, the worst use of each limit: of all findings, and of the figures that may come to be one. */
export function limitUses(context: PartContext, drafts: readonly FindingDraft[]): LimitUse[] {
  const worst = new Map<FindingCode, LimitUse>();
  for (const use of [...drafts.map(usedBy), ...margins(context)]) {
    const known = worst.get(use.code);
    if (known === undefined || isWorse(use, known)) worst.set(use.code, use);
  }
  return [...worst.values()].sort((a, b) => (isWorse(a, b) ? -1 : isWorse(b, a) ? 1 : 0));
}

const rank = { error: 3, warning: 2, info: 0 } as const;
const rankOf = ({ severity }: LimitUse): number => (severity === null ? 1 : rank[severity]);

/** Errors before warnings, these before what is within its limit, notes last; then by share. */
function isWorse(a: LimitUse, b: LimitUse): boolean {
  return rankOf(a) !== rankOf(b) ? rankOf(a) > rankOf(b) : a.share > b.share;
}

function usedBy({ code, measured, limit, unit = '' }: FindingDraft): LimitUse {
  const { severity } = findingTable[code];
  if (measured === undefined || limit === undefined || limit === 0) {
    return { code, severity, measured: null, limit: null, unit, share: 1 };
  }
  // Of some limits the figure must stay above, of others below; a finding is always on the wrong side.
  const [more, less] = measured > limit ? [measured, limit] : [limit, measured];
  const share = less > 0 ? Math.min(MOST_SHARE, more / less) : MOST_SHARE;
  return { code, severity, measured, limit, unit, share };
}

function margins({ manifest: { limits }, facts: { loads } }: PartContext): LimitUse[] {
  const told = loads.cups.filter(({ peakAreaMm2 }) => peakAreaMm2 >= limits.leastCup);
  // Of its limits; what a sealed cup would do is told with the cup.
  const walls = loads.walls.flatMap(({ sealed, strain }) => (sealed ? [] : strain));
  const most = (values: readonly number[]) => values.reduce((a, b) => Math.max(a, b), 0);
  const within = (code: FindingCode, measured: number, limit: number, unit: string): LimitUse[] =>
    measured <= limit && limit > 0
      ? [{ code, severity: null, measured, limit, unit, share: measured / limit }]
      : [];
  return [
    ...within('pull-high', loads.peakPullN, limits.pull, 'N'),
    ...within('sealed-cup', most(told.map((cup) => cup.sealedLayers)), limits.sealedLayers, 'layers'),
    ...within(
      'breathes-late',
      most(told.flatMap((cup) => cup.stretches.map((stretch) => stretch.layers))),
      limits.breatheLayers,
      'layers',
    ),
    ...(walls.length === 0 ? [] : within('wall-flexes', 100 * most(walls), 100, '%')),
    ...within('resin-trapped', most(loads.trappedMm3) / 1000, limits.trapped, 'ml'),
  ];
}

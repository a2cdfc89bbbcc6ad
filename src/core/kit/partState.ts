import type { Severity } from './finding.ts';
import type { FindingCode } from './findingTable.ts';
import type { Tree } from './readTree.ts';
import { plural } from './rules/figures.ts';
import { keysAt } from './treeAt.ts';

/**
 * How far a part has come. `decision`: the builder has not yet said what is needed; `errors`: what was said
 * would fail. The rest as it reads.
 */
export type PartStateKind =
  | 'printed'
  | 'checking'
  | 'decision'
  | 'errors'
  | 'warnings'
  | 'ready'
  | 'unchecked';

export interface PartState {
  readonly kind: PartStateKind;
  /** For people, with what is lacking or how much is told. */
  readonly words: string;
}

export interface StateInput {
  /** The manifest's tree, and the part in it. */
  readonly tree: Tree | null;
  readonly part: string;
  /** Of the whole kit: some of the kit's keep every part from being measured. */
  readonly findings: readonly StateFinding[];
  /** `now`: it is being measured. `done`: it was, with the manifest as it stands. */
  readonly measured: 'not' | 'now' | 'done';
  /** A good print of it is in the journal. */
  readonly printed: boolean;
}

export interface StateFinding {
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly part: string | null;
}

/** Findings that ask for a decision which nobody has taken yet, and which one it is. */
const asksFor: Partial<Record<FindingCode, string>> = {
  'scale-missing': 'how large it is printed',
  'resin-unknown': 'its resin',
  'cut-unknown': 'its cut',
  'chamber-without-opening': 'openings for its hollow',
  'starts-in-air': 'how it is held',
  'needs-supports': 'how it is held',
};

/** Nothing more can be said of such a part, whatever else is decided. */
const unmeasurable: readonly FindingCode[] = [
  'file-missing',
  'file-unreadable',
  'engine-failed',
  'not-watertight',
];

/** Keys of a part by which it says how it is printed. */
const printDecisions = ['wall', 'hollow', 'vents', 'drains', 'tubes', 'turn', 'raise', 'supports', 'cut'];

export function partState({ tree, part, findings, measured, printed }: StateInput): PartState {
  if (printed) return { kind: 'printed', words: 'printed' };
  if (measured === 'now') return { kind: 'checking', words: 'being checked' };
  const own = findings.filter((finding) => finding.part === part || asksAll(finding));
  const errors = own.filter(({ severity }) => severity === 'error').length;
  const broken = own.some(({ code }) => unmeasurable.includes(code));
  const wanted = broken ? [] : decisionsWanted(tree, part, own);
  if (wanted.length > 0) return { kind: 'decision', words: decisionWords(wanted, own) };
  if (errors > 0) return { kind: 'errors', words: plural(errors, 'error') };
  if (measured === 'not') return { kind: 'unchecked', words: 'not checked' };
  const warnings = own.filter(({ severity }) => severity === 'warning').length;
  if (warnings > 0) return { kind: 'warnings', words: plural(warnings, 'warning') };
  return { kind: 'ready', words: 'ready' };
}

function decisionWords(wanted: readonly string[], own: readonly StateFinding[]): string {
  const others = own.filter(
    ({ code, severity }) => severity === 'error' && asksFor[code] === undefined,
  ).length;
  const more = others === 0 ? '' : `; ${plural(others, 'other error')}`;
  return `needs a decision: ${wanted.join(', ')}${more}`;
}

/** The finding that says most: an error before a warning, the first of its kind. Infos say nothing of a state. */
export function worstFinding<T extends StateFinding>(findings: readonly T[], part: string): T | null {
  const own = findings.filter((finding) => finding.part === part || asksAll(finding));
  const first = (severity: Severity) => own.find((finding) => finding.severity === severity);
  return first('error') ?? first('warning') ?? null;
}

const asksAll = ({ part, code }: StateFinding): boolean => part === null && code === 'scale-missing';

function decisionsWanted(tree: Tree | null, part: string, own: readonly StateFinding[]): string[] {
  const stated = keysAt(tree, ['parts', part]);
  const undecided = tree !== null && !printDecisions.some((key) => stated.includes(key));
  const asked = own.flatMap(({ code }) => asksFor[code] ?? []);
  return [...new Set([...(undecided ? ['wall, openings and pose'] : []), ...asked])];
}

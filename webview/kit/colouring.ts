import type { PartStateKind } from '../../src/core/kit/partState.ts';
import type { KitPart } from '../../src/protocol/kitMessages.ts';
import type { Colour } from '../shared/colour.ts';
import type { Theme } from '../shared/theme.ts';

export const patterns = ['plain', 'slanted', 'crossed', 'dotted', 'level', 'upright', 'dashed'] as const;
/** Beside the colour, so that nothing hangs on it alone. */
export type Pattern = (typeof patterns)[number];

export type ColourBy = 'state' | 'resin';

/** What parts of one group have in common in the picture. */
export interface Look {
  /** Of the group, for the legend. */
  readonly label: string;
  readonly pattern: Pattern;
  colour(theme: Theme): Colour;
}

const stateLooks: Record<PartStateKind, Look> = {
  errors: { label: 'errors', pattern: 'crossed', colour: ({ pull }) => pull },
  decision: { label: 'needs a decision', pattern: 'dotted', colour: ({ cup }) => cup },
  warnings: { label: 'warnings', pattern: 'slanted', colour: ({ supports }) => supports },
  ready: { label: 'ready', pattern: 'plain', colour: ({ opening }) => opening },
  printed: { label: 'printed', pattern: 'level', colour: ({ opening }) => opening },
  checking: { label: 'being checked', pattern: 'upright', colour: ({ outside }) => outside },
  unchecked: { label: 'not checked', pattern: 'dashed', colour: ({ outside }) => outside },
};

/** The states in the order in which they want the builder. */
const stateOrder = Object.keys(stateLooks) as PartStateKind[];

const resinColours: readonly ((theme: Theme) => Colour)[] = [
  ({ cup }) => cup,
  ({ section }) => section,
  ({ opening }) => opening,
  ({ show }) => show,
  ({ supports }) => supports,
  ({ pull }) => pull,
];

const noResin: Look = { label: 'no resin named', pattern: 'dashed', colour: ({ outside }) => outside };

const resinPatterns = patterns.filter((pattern) => pattern !== noResin.pattern);

/** The look of every part, by its name. Resins take theirs in the order in which parts name them. */
export function looksOf(parts: readonly KitPart[], by: ColourBy): ReadonlyMap<string, Look> {
  if (by === 'state') return new Map(parts.map(({ name, state }) => [name, stateLooks[state]]));
  const resins = [...new Set(parts.flatMap(({ resin }) => resin ?? []))];
  const looks = new Map(resins.map((resin, at) => [resin, resinLook(resin, at)]));
  return new Map(parts.map(({ name, resin }) => [name, (resin !== null && looks.get(resin)) || noResin]));
}

function resinLook(label: string, at: number): Look {
  const { length } = resinColours;
  // After all colours, the same ones with the other patterns.
  const pattern = resinPatterns[(at + Math.floor(at / length)) % resinPatterns.length]!;
  return { label, pattern, colour: resinColours[at % length]! };
}

/** Each look once with how many parts have it, in the order in which they matter. */
export function legendOf(
  parts: readonly KitPart[],
  by: ColourBy,
): readonly { readonly look: Look; readonly count: number }[] {
  const looks = looksOf(parts, by);
  const counts = new Map<Look, number>();
  for (const { name } of parts) {
    const look = looks.get(name)!;
    counts.set(look, (counts.get(look) ?? 0) + 1);
  }
  const all = [...counts].map(([look, count]) => ({ look, count }));
  if (by === 'resin') return all;
  const place = (look: Look): number => stateOrder.findIndex((state) => stateLooks[state] === look);
  return all.sort((a, b) => place(a.look) - place(b.look));
}

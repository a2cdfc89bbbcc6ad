import { applyEdits, setValue } from '../kit/edits.ts';
import type { Manifest } from '../kit/manifest.ts';
import { plural } from '../kit/rules/figures.ts';
import { type PlateReport, plateLine } from './plateReport.ts';

/** Names for so many new plates that neither plates nor their files have yet. */
export function freePlateNames(
  { plates, parts }: Pick<Manifest, 'plates' | 'parts'>,
  count: number,
): string[] {
  const taken = new Set([
    ...plates.map(({ name }) => name.toLowerCase()),
    ...parts.map(({ name }) => name.toLowerCase().replace(/-plate$/, '')),
  ]);
  const names: string[] = [];
  for (let n = 1; names.length < count; n++) if (!taken.has(`plate-${n}`)) names.push(`plate-${n}`);
  return names;
}

/** The manifest with new plates behind those it has; null where that cannot be done by a small edit. */
export function withPlates(
  text: string,
  plates: readonly { readonly name: string; readonly parts: readonly string[] }[],
): string | null {
  let changed = text;
  for (const { name, parts } of plates) {
    const edits = setValue(changed, ['plates', name], { parts: [...parts] });
    if (edits.length === 0) return null;
    changed = applyEdits(changed, edits);
  }
  return changed;
}

/** What is proposed, and what is not and why, in plain text. */
export function platesProposalText(
  plates: Readonly<Record<string, PlateReport>>,
  left: readonly { readonly part: string; readonly message: string }[],
): string {
  const names = Object.keys(plates);
  const lines = Object.entries(plates).map(([name, report]) => `  ${plateLine(name, report)}`);
  const head = names.length === 0 ? 'No new plate.' : `${plural(names.length, 'plate')}:`;
  return [head, ...lines, ...left.map(({ part, message }) => `  ${part}: ${message}`)].join('\n');
}

import { removeAt, setValue } from './edits.ts';
import type { ReportedRemedy } from './finding.ts';
import type { Fix } from './fixes.ts';
import { openingPath } from './openingPath.ts';
import { openingName } from './rules/figures.ts';

/** Decimals of a source coordinate that are written. */
const DECIMALS = 3;

/** What would answer a finding about a part, as edits of the manifest; the first is the one most likely meant. */
export function remedyFixes(text: string, part: string, remedies: readonly ReportedRemedy[]): Fix[] {
  return remedies.flatMap((remedy, index) => {
    const fix = fixOf(text, part, remedy);
    return fix === null ? [] : [{ ...fix, preferred: index === 0 }];
  });
}

function fixOf(text: string, part: string, remedy: ReportedRemedy): Omit<Fix, 'preferred'> | null {
  const { kind, opening, value, at_source, turn } = remedy;
  if (kind === 'propose') {
    const asks = { part, ask: { kind: 'propose-openings' } } as const;
    return { title: `Propose openings for ${part}`, edits: [], asks };
  }
  if (kind === 'solid') {
    return { title: 'Print the part solid', edits: setValue(text, ['parts', part, 'wall'], 'solid') };
  }
  if (kind === 'wall') {
    if (value === null) return null;
    return { title: `Give it a wall of ${value} mm`, edits: setValue(text, ['parts', part, 'wall'], value) };
  }
  if (kind === 'wash') {
    if (turn === null) return null;
    return {
      title: `Set wash to [${turn.join(', ')}]: held so, it runs empty`,
      edits: setValue(text, ['parts', part, 'wash'], [...turn]),
    };
  }
  if (kind === 'turn') {
    if (turn === null) return null;
    return {
      title: `Set turn to [${turn.join(', ')}]: so its raft is on the plate`,
      edits: setValue(text, ['parts', part, 'turn'], [...turn]),
    };
  }
  if (kind === 'find-wall') {
    return { title: 'Find a wall that works…', edits: [], asks: { part, ask: { kind } } };
  }
  // Of the whole kit; offered where it is told.
  if (opening === null || kind === 'factor') return null;
  const path = openingPath(part, opening);
  const name = openingName(opening);
  if (kind === 'find-place') {
    const title = `Move the ${name} to the nearest good place…`;
    return { title, edits: [], asks: { part, ask: { kind, opening } } };
  }
  if (kind === 'remove') return { title: `Remove the ${name}`, edits: removeAt(text, path) };
  if (kind === 'move') {
    if (at_source === null) return null;
    const at = at_source.map((c) => Number(c.toFixed(DECIMALS)));
    return { title: `Move the ${name} to the surface`, edits: setValue(text, [...path, 'at'], at) };
  }
  if (value === null) return null;
  const title =
    kind === 'diameter' ? `Make the ${name} ${value} mm wide` : `Drill the ${name} ${value} mm deep`;
  return { title, edits: setValue(text, [...path, kind], value) };
}

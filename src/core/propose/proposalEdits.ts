import { difference } from '../kit/difference.ts';
import { applyEdits, insertIntoList, removeAt, setValue, type TextEdit } from '../kit/edits.ts';
import { openingPath } from '../kit/openingPath.ts';
import type { YamlValue } from '../kit/renderYaml.ts';
import type { OpeningDecision } from '../openings/opening.ts';
import type { Choice } from './choice.ts';

/**
 * A proposal as one edit of the manifest's text: comments, order and every other line stay. Null when the
 * text does not let itself be edited so (a list that an anchor shares, for instance).
 */
export function proposalEdits(
  text: string,
  part: string,
  own: readonly OpeningDecision[],
  choices: readonly Choice[],
): readonly TextEdit[] | null {
  const steps = [
    ...choices.flatMap((choice) => changesOf(part, own, choice)),
    ...leftOut(part, own, choices),
    ...choices.flatMap(({ was, decision }) => (was === null ? [added(part, decision)] : [])),
  ];
  let changed = text;
  for (const step of steps) {
    const edits = step(changed);
    if (edits.length === 0) return null;
    changed = applyEdits(changed, edits);
  }
  return changed === text ? [] : [difference(text, changed)];
}

type Step = (text: string) => readonly TextEdit[];

function changesOf(part: string, own: readonly OpeningDecision[], { was, decision }: Choice): Step[] {
  const before = own.find(({ id }) => id === was);
  if (was === null || before === undefined) return [];
  const path = openingPath(part, was);
  const keys = ['at', 'diameter', 'depth', 'toward'] as const;
  return keys
    .filter((key) => JSON.stringify(before[key]) !== JSON.stringify(decision[key]))
    .map((key) => {
      const value = decision[key];
      return (text) =>
        value === undefined
          ? removeAt(text, [...path, key])
          : setValue(text, [...path, key], value as YamlValue);
    });
}

/** From the end of each list, so that the places of the others stay. */
function leftOut(part: string, own: readonly OpeningDecision[], choices: readonly Choice[]): Step[] {
  const kept = new Set(choices.map(({ was }) => was));
  return own
    .filter(({ id }) => !kept.has(id))
    .reverse()
    .map(
      ({ id }) =>
        (text) =>
          removeAt(text, openingPath(part, id)),
    );
}

const added =
  (part: string, { id, at, diameter, depth, toward }: OpeningDecision): Step =>
  (text) =>
    insertIntoList(text, openingPath(part, id).slice(0, -1), {
      at: [...at],
      diameter,
      ...(depth === undefined ? {} : { depth }),
      ...(toward === undefined ? {} : { toward: [...toward] }),
    });

import type { OpeningDecision } from '../openings/opening.ts';
import type { Vec3 } from '../vector.ts';
import { insertIntoList, removeAt, setValue, type TextEdit } from './edits.ts';
import type { Part } from './manifest.ts';
import { openingPath } from './openingPath.ts';
import type { YamlValue } from './renderYaml.ts';

/** What a gesture on the turntable decided. */
export interface OpeningPlacing {
  /** The opening that was moved or resized; null = a new one. */
  readonly id: OpeningDecision['id'] | null;
  readonly kind: OpeningDecision['kind'];
  /** Source coordinates. */
  readonly at: Vec3;
  /** mm in print. */
  readonly diameter: number;
}

/**
 * The manifest's edits that put an opening where a gesture left it; only the values that changed are
 * touched. None where nothing changed; null where the text does not allow it (see `edits.ts`).
 */
export function openingEdits(text: string, part: Part, placing: OpeningPlacing): readonly TextEdit[] | null {
  const { id, kind, at, diameter } = placing;
  if (id === null) {
    return orNull(insertIntoList(text, ['parts', part.name, `${kind}s`], { at: [...at], diameter }));
  }
  const before = part.openings.find((opening) => opening.id === id);
  if (before === undefined) return null;
  const edits: TextEdit[] = [];
  const put = (key: string, value: YamlValue): boolean => {
    const edit = setValue(text, openingPath(part.name, id, key), value);
    edits.push(...edit);
    return edit.length > 0;
  };
  if (before.at.some((value, axis) => value !== at[axis]) && !put('at', [...at])) return null;
  if (before.diameter !== diameter && !put('diameter', diameter)) return null;
  return edits;
}

/** The edits that take an opening out; null where the text does not allow it. */
export function openingRemoval(
  text: string,
  part: Part,
  id: OpeningDecision['id'],
): readonly TextEdit[] | null {
  return orNull(removeAt(text, openingPath(part.name, id)));
}

const orNull = (edits: readonly TextEdit[]): readonly TextEdit[] | null => (edits.length > 0 ? edits : null);

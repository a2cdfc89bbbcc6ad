import { difference } from '../kit/difference.ts';
import { applyEdits, insertIntoList, removeAt, replaceKey, setValue, type TextEdit } from '../kit/edits.ts';
import { readTree } from '../kit/readTree.ts';
import type { YamlValue } from '../kit/renderYaml.ts';
import { treeAt } from '../kit/treeAt.ts';
import type { KnownLength } from './knownLength.ts';

/**
 * The one edit after which the factor follows from a known length: a `factor` goes, a list in `scale.from` gets one
 * more, a single length there is replaced. None where it stands there already; null where the text does not allow it.
 */
export function knownLengthEdits(
  text: string,
  length: Omit<KnownLength, 'index'>,
): readonly TextEdit[] | null {
  const path = ['scale', 'from'];
  const value = written(length);
  const steps: Step[] = [(now) => instead(now, 'factor', 'from')];
  if (treeAt(readTree(text).root, path)?.kind === 'list')
    steps.push((now) => edited(now, insertIntoList(now, path, value)));
  else steps.push((now) => replaced(now, path, value));
  return inOne(text, steps);
}

/** The one edit that gives the factor itself, instead of lengths. */
export function factorEdits(text: string, factor: number): readonly TextEdit[] | null {
  return inOne(text, [
    (now) => instead(now, 'from', 'factor'),
    (now) => replaced(now, ['scale', 'factor'], factor),
  ]);
}

/** A text after one step; null where it cannot be taken. */
type Step = (text: string) => string | null;

function inOne(text: string, steps: readonly Step[]): readonly TextEdit[] | null {
  const changed = steps.reduce<string | null>((now, step) => (now === null ? null : step(now)), text);
  if (changed === null) return null;
  return changed === text ? [] : [difference(text, changed)];
}

const edited = (text: string, edits: readonly TextEdit[]): string | null =>
  edits.length === 0 ? null : applyEdits(text, edits);

/** One key of the scale goes: the other takes its place, and the comments beside it, where it does not stand yet. */
function instead(text: string, gone: string, comes: string): string | null {
  const path = ['scale', gone];
  if (!stands(text, path) || stands(text, ['scale', comes])) return without(text, path);
  return edited(text, replaceKey(text, path, comes));
}

const stands = (text: string, path: readonly string[]): boolean => treeAt(readTree(text).root, path) !== null;

function without(text: string, path: readonly string[]): string | null {
  return stands(text, path) ? edited(text, removeAt(text, path)) : text;
}

/** Over several lines a value cannot be replaced in its place: it goes, and comes again. */
function replaced(text: string, path: readonly string[], value: YamlValue): string | null {
  const inPlace = edited(text, setValue(text, path, value));
  if (inPlace !== null) return inPlace;
  const cleared = without(text, path);
  return cleared === null ? null : edited(cleared, setValue(cleared, path, value));
}

function written({ source, between, known }: Omit<KnownLength, 'index'>): YamlValue {
  const where: { [key: string]: YamlValue } =
    between === null ? { source } : { between: between.map((end) => [...end]) };
  if (known.kind !== 'measure') return { ...where, [known.kind]: known.mm };
  return { ...where, measure: known.measure, ...(known.sex !== null && { sex: known.sex }) };
}

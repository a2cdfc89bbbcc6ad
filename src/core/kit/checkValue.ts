import type { Bounds, KeyEntry } from './keyTable.ts';
import { shorten } from './manifestPath.ts';
import type { Tree } from './readTree.ts';
import { fileFault } from './safeNames.ts';

/** A value of the manifest that can be used, or what is wrong with it. `fault` continues a sentence. */
export type Checked =
  | { readonly ok: true; readonly value: unknown }
  | {
      readonly ok: false;
      readonly fault: string;
      readonly step?: number;
      readonly measured?: number;
      readonly limit?: number;
    };

/** Judges one leaf of the manifest against its entry in the key table. */
export function checkValue(tree: Tree, entry: KeyEntry): Checked {
  const shape = entry.value;
  switch (shape.shape) {
    case 'text':
      return checkText(tree, shape.longest);
    case 'ratio':
      return checkRatio(tree);
    case 'file':
      return checkFile(tree);
    case 'resin':
    case 'part':
      return checkText(tree, 80);
    case 'number':
      return checkNumber(tree, shape, entry.unit, shape.whole === true);
    case 'numberOrWord':
      if (tree.kind === 'scalar' && tree.value === shape.word) return good(shape.word);
      return checkNumber(tree, shape, entry.unit, false, ` or the word ${shape.word}`);
    case 'numbers':
      return checkNumbers(tree, shape, entry.unit);
    case 'outline':
      return checkPoints(tree, 3, MOST_POINTS);
    case 'ends':
      return checkEnds(tree);
    case 'path':
      return checkPoints(tree, 2, shape.most);
    case 'word':
      if (tree.kind === 'scalar' && shape.words.includes(tree.value as string)) return good(tree.value);
      return bad(`must be ${shape.words.join(' or ')}, not ${describe(tree)}`);
    default:
      throw new Error(`${entry.path} is no leaf`);
  }
}

/** What may stand instead of a list: how many. */
export const checkCount = (tree: Tree, bounds: Bounds): Checked => checkNumber(tree, bounds, '', true);

const good = (value: unknown): Checked => ({ ok: true, value });
const bad = (fault: string): Checked => ({ ok: false, fault });

function checkText(tree: Tree, longest: number): Checked {
  if (tree.kind !== 'scalar' || !['string', 'number'].includes(typeof tree.value)) {
    return bad(`must be a text, not ${describe(tree)}`);
  }
  const text = String(tree.value);
  if (text.trim() === '') return bad('is empty');
  if (text.length > longest) return bad(`is longer than ${longest} characters`);
  return good(text);
}

function checkFile(tree: Tree): Checked {
  const text = checkText(tree, 250);
  if (!text.ok) return text;
  const fault = fileFault(text.value as string);
  return fault === null ? text : bad(`(${shorten(text.value as string)}) ${fault}`);
}

const ratioText = /^\s*1\s*[:/]\s*(\d+(?:\.\d+)?)\s*$/;

function checkRatio(tree: Tree): Checked {
  const match = tree.kind === 'scalar' && typeof tree.value === 'string' ? ratioText.exec(tree.value) : null;
  if (match === null || !(Number(match[1]) > 0))
    return bad(`must be a scale as "1:4", not ${describe(tree)}`);
  return good(`1:${Number(match[1])}`);
}

function checkNumber(tree: Tree, bounds: Bounds, unit = '', whole = false, orElse = ''): Checked {
  const kind = whole ? 'a whole number' : 'a number';
  if (tree.kind !== 'scalar' || typeof tree.value !== 'number' || Number.isNaN(tree.value)) {
    return bad(`must be ${kind}${unit && ` (${unit})`}${orElse}, not ${describe(tree)}`);
  }
  const value = tree.value;
  if (whole && !Number.isInteger(value))
    return { ok: false, fault: `must be a whole number, not ${value}`, measured: value };
  const limit = brokenBound(value, bounds);
  if (limit === null) return good(value);
  return {
    ok: false,
    fault: `is ${value}; it must be ${formatBounds(bounds, unit)}${orElse}`,
    measured: value,
    limit,
  };
}

function checkNumbers(
  tree: Tree,
  shape: Bounds & {
    readonly length: number;
    readonly nonzero?: true;
    readonly orOne?: true;
    readonly fewer?: true;
  },
  unit = '',
): Checked {
  const list = `a list of ${shape.fewer ? `up to ${shape.length}` : shape.length}${shape.orOne ? '' : ` numbers${unit && ` (${unit})`}`}`;
  if (shape.orOne && tree.kind !== 'list') return checkNumber(tree, shape, unit, false, ` or ${list}`);
  if (tree.kind !== 'list' || !isLength(tree.items.length, shape)) {
    const one = shape.orOne ? `a number${unit && ` (${unit})`} or ` : '';
    return bad(`must be ${one}${list}, not ${describe(tree)}`);
  }
  const values: number[] = [];
  for (const [step, item] of tree.items.entries()) {
    const checked = checkNumber(item, shape, unit);
    if (!checked.ok) return { ...checked, step };
    values.push(checked.value as number);
  }
  if (shape.nonzero && values.every((value) => value === 0)) return bad('must not be all zeros');
  return good(values);
}

const isLength = (count: number, { length, fewer }: { length: number; fewer?: true }): boolean =>
  fewer ? count >= 1 && count <= length : count === length;

/** A drawn outline has some dozens; every place on the surface is held against each. */
const MOST_POINTS = 1000;

function checkEnds(tree: Tree): Checked {
  if (tree.kind !== 'list' || tree.items.length !== 2)
    return bad(`must be a list of two points, not ${describe(tree)}`);
  const ends = checkPoints(tree, 2, 2);
  if (!ends.ok) return ends;
  const [a, b] = ends.value as readonly (readonly number[])[];
  return a!.join() === b!.join() ? bad('has both ends in one place') : ends;
}

function checkPoints(tree: Tree, fewest: number, most: number): Checked {
  if (tree.kind !== 'list' || tree.items.length < fewest)
    return bad(`must be a list of at least ${fewest} points, not ${describe(tree)}`);
  if (tree.items.length > most) return bad(`has more than ${most} points`);
  const points: unknown[] = [];
  for (const [step, item] of tree.items.entries()) {
    const point = checkNumbers(item, { length: 3 });
    if (!point.ok) return { ok: false, fault: point.fault, step };
    points.push(point.value);
  }
  return good(points);
}

/** The bound a value breaks, or null. Infinities break every range; the widest float stands for theirs. */
function brokenBound(value: number, { above, atLeast, below, atMost }: Bounds): number | null {
  if (above !== undefined && !(value > above)) return above;
  if (atLeast !== undefined && !(value >= atLeast)) return atLeast;
  if (below !== undefined && !(value < below)) return below;
  if (atMost !== undefined && !(value <= atMost)) return atMost;
  return Math.abs(value) <= 1e9 ? null : Math.sign(value) * 1e9;
}

/** `0.005 to 1 mm`, `above 0 mm`. */
export function formatBounds({ above, atLeast, below, atMost }: Bounds, unit = ''): string {
  const tail = unit && ` ${unit}`;
  if (atLeast !== undefined && atMost !== undefined) return `${atLeast} to ${atMost}${tail}`;
  const low = above !== undefined ? `above ${above}` : atLeast !== undefined ? `at least ${atLeast}` : '';
  const high = below !== undefined ? `below ${below}` : atMost !== undefined ? `at most ${atMost}` : '';
  if (low === '' && high === '') return `between -1e9 and 1e9${tail}`;
  return [low, high].filter((text) => text !== '').join(' and ') + tail;
}

function describe(tree: Tree): string {
  if (tree.kind === 'map') return 'a mapping';
  if (tree.kind === 'list') return `a list of ${tree.items.length}`;
  if (tree.value === null || tree.value === undefined) return 'nothing';
  return typeof tree.value === 'string' ? `“${shorten(tree.value)}”` : shorten(String(tree.value));
}

import { failure, type Result, success } from '../../result.ts';
import { shorten } from '../manifestPath.ts';
import { readTree, type Tree } from '../readTree.ts';
import { lineStarts, sourceRange } from '../textLines.ts';
import {
  type LayerPull,
  type PrintEntry,
  type PrintFigures,
  type PrintSettings,
  printResults,
} from './journal.ts';

/**
 * Reads `journal.yaml`: a list of prints, the oldest first. Keys of the builder's own are let pass. Fails
 * `journal-unreadable` with the line of what is wrong; an empty text is an empty journal.
 */
export function readJournal(text: string): Result<readonly PrintEntry[]> {
  const { root, problems } = readTree(text);
  const lineOf = ({ start }: { readonly start: number }): number =>
    sourceRange(lineStarts(text), start, start).line;
  const [broken] = problems;
  if (broken !== undefined) return unreadable(lineOf(broken), broken.message);
  if (root === null || isNull(root)) return success([]);
  try {
    if (root.kind !== 'list') throw new Wrong(root, 'the journal is a list of prints, each as "- part: …"');
    return success(root.items.map(entryOf));
  } catch (error) {
    if (error instanceof Wrong) return unreadable(lineOf(error.tree), error.message);
    throw error;
  }
}

const unreadable = (line: number, why: string) =>
  failure(
    'journal-unreadable',
    `journal.yaml:${line} cannot be read: ${why.replace(/\.$/, '')}. Mend that line; nothing is written until then.`,
  );

class Wrong extends Error {
  readonly tree: Tree;

  constructor(tree: Tree, message: string) {
    super(message);
    this.tree = tree;
  }
}

/** A mapping that is read key by key; what is wrong is told at its place. */
class Fields {
  readonly tree: Tree;
  private readonly what: string;

  constructor(tree: Tree, what: string) {
    if (tree.kind !== 'map') throw new Wrong(tree, `${what} is a mapping of keys`);
    this.tree = tree;
    this.what = what;
  }

  optional(key: string): Tree | null {
    const value = this.tree.kind === 'map' ? this.tree.entries.get(key)?.value : undefined;
    return value === undefined || isNull(value) ? null : value;
  }

  required(key: string): Tree {
    return this.optional(key) ?? this.say(this.tree, `${this.what} needs ${key}`);
  }

  text(key: string): string {
    const tree = this.required(key);
    const value = tree.kind === 'scalar' ? tree.value : undefined;
    if (typeof value !== 'string' && typeof value !== 'number')
      return this.say(tree, `${key} must be a text`);
    // It is shown in a terminal.
    return String(value).replace(/\p{Cc}/gu, ' ');
  }

  textOrNull(key: string): string | null {
    return this.optional(key) === null ? null : this.text(key);
  }

  number(key: string, least: number): number {
    const tree = this.required(key);
    const value = tree.kind === 'scalar' ? tree.value : undefined;
    if (typeof value === 'number' && value >= least && value <= mostNumber) return value;
    return this.say(tree, `${key} must be a number from ${least} to ${mostNumber}`);
  }

  numberOrNull(key: string, least: number): number | null {
    return this.optional(key) === null ? null : this.number(key, least);
  }

  three(key: string): readonly [number, number, number] {
    const tree = this.required(key);
    const items = tree.kind === 'list' ? tree.items : [];
    const values = items.map((item) => (item.kind === 'scalar' ? item.value : undefined));
    if (
      values.length === 3 &&
      values.every((value) => typeof value === 'number' && Math.abs(value) < mostNumber)
    )
      return values as unknown as readonly [number, number, number];
    return this.say(tree, `${key} must be three numbers`);
  }

  word<W extends string>(key: string, words: readonly W[]): W {
    const tree = this.required(key);
    const value = tree.kind === 'scalar' ? tree.value : undefined;
    const found = words.find((word) => word === value);
    return found ?? this.say(tree, `${key} must be ${words.join(', ')}, not ${shorten(String(value ?? ''))}`);
  }

  say(tree: Tree, message: string): never {
    throw new Wrong(tree, message);
  }
}

const mostNumber = 1e9;

const isNull = (tree: Tree): boolean => tree.kind === 'scalar' && tree.value === null;

function entryOf(tree: Tree): PrintEntry {
  const fields = new Fields(tree, 'a print');
  const [settings, figures] = [fields.optional('settings'), fields.optional('figures')];
  const layer = fields.numberOrNull('layer', 0);
  if (layer !== null && !Number.isInteger(layer))
    fields.say(fields.required('layer'), 'layer must be a whole number');
  return {
    part: fields.text('part'),
    date: dateOf(fields),
    result: fields.word('result', printResults),
    layer,
    photo: fields.textOrNull('photo'),
    words: fields.textOrNull('words'),
    settings: settings && settingsOf(settings),
    figures: figures && figuresOf(figures),
  };
}

function dateOf(fields: Fields): string {
  const date = fields.text('date');
  return isDate(date) ? date : fields.say(fields.required('date'), 'date must be a day as 2026-11-03');
}

/** `2026-11-03`, a day that there is. */
export function isDate(text: string): boolean {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (match === null) return false;
  const [year, month, day] = match.slice(1).map(Number) as [number, number, number];
  const leap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const days = [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1];
  return days !== undefined && day >= 1 && day <= days;
}

function settingsOf(tree: Tree): PrintSettings {
  const fields = new Fields(tree, 'settings');
  return {
    stl: fields.text('stl'),
    decisions: fields.text('decisions'),
    factor: fields.number('factor', 0),
    turn: fields.three('turn'),
    raise_mm: fields.number('raise_mm', 0),
    layer_mm: fields.number('layer_mm', 0),
    wall_mm: fields.numberOrNull('wall_mm', 0),
    resin: fields.textOrNull('resin'),
    lift_up: fields.number('lift_up', 0),
    exposure_s: fields.number('exposure_s', 0),
    supports: fields.word('supports', ['planned', 'none']),
  };
}

function figuresOf(tree: Tree): PrintFigures {
  const fields = new Fields(tree, 'figures');
  const pull = (key: string): LayerPull | null => {
    const found = fields.optional(key);
    return found && pullOf(found, key);
  };
  return {
    size_mm: fields.three('size_mm'),
    layers: fields.number('layers', 0),
    liquid_ml: fields.number('liquid_ml', 0),
    hours: fields.number('hours', 0),
    peel_kpa: fields.number('peel_kpa', 0),
    peak: pullOf(fields.required('peak'), 'peak'),
    weakest: pull('weakest'),
    failed: pull('failed'),
  };
}

function pullOf(tree: Tree, what: string): LayerPull {
  const fields = new Fields(tree, what);
  return {
    layer: fields.number('layer', 0),
    pull_n: fields.number('pull_n', 0),
    area_mm2: fields.number('area_mm2', 0),
    holds: fields.numberOrNull('holds', 0),
  };
}

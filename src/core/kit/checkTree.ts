import { type Checked, checkCount, checkValue } from './checkValue.ts';
import type { FindingDraft } from './finding.ts';
import { entryAt, type KeyEntry, keysUnder } from './keyTable.ts';
import type { ManifestPath } from './manifest.ts';
import { formatPath, partOfPath, pathKey, shorten } from './manifestPath.ts';
import { nearestWord } from './nearestWord.ts';
import type { Tree } from './readTree.ts';
import { partNameFault, resinNameFault } from './safeNames.ts';

export interface CheckedTree {
  readonly findings: readonly FindingDraft[];
  /** Every leaf that can be used, by `pathKey`. */
  readonly values: ReadonlyMap<string, unknown>;
  /** Usable names under every mapping of names, in the text's order, by `pathKey`. */
  readonly named: ReadonlyMap<string, readonly string[]>;
  /** How many entries a list has, usable or not, by `pathKey`. */
  readonly lengths: ReadonlyMap<string, number>;
}

/** Entries of a list that may stand instead of a mapping: nobody writes more. */
const mostInstead = 100;

/** Holds the manifest's tree against the key table: unknown keys, wrong types, values out of range. */
export function checkTree(root: Tree): CheckedTree {
  const findings: FindingDraft[] = [];
  const values = new Map<string, unknown>();
  const lengths = new Map<string, number>();
  const named = new Map<string, readonly string[]>();
  checkMap(root, [], '');
  return { findings, values, lengths, named };

  function say(
    code: 'key-unknown' | 'value-out-of-range',
    path: ManifestPath,
    message: string,
    more = {},
  ): void {
    findings.push({ code, part: partOfPath(path), path, message, ...more });
  }

  function checkNode(tree: Tree, path: ManifestPath, entry: KeyEntry): void {
    const { shape } = entry.value;
    const absent = tree.kind === 'scalar' && tree.value === null;
    if (absent && typeof path.at(-1) !== 'number') {
      if (shape === 'list') lengths.set(pathKey(path), 0);
      return;
    }
    if (shape === 'map') {
      const { words = [], listIs, textIs, oneOf, alsoOneOf, orList } = entry.value;
      if (tree.kind === 'map') {
        checkMap(tree, path, entry.path);
        for (const keys of [oneOf, alsoOneOf]) if (keys !== undefined) checkOneOf(tree, path, keys);
      } else if (orList && tree.kind === 'list') checkList(tree.items, path, mostInstead);
      else if (listIs !== undefined && tree.kind === 'list') checkInPlace(tree, path, listIs);
      else if (textIs !== undefined && tree.kind === 'scalar') checkInPlace(tree, path, textIs);
      else if (isWord(tree, words)) values.set(pathKey(path), tree.value);
      else {
        const names = textIs === undefined ? [] : ['a name'];
        const lists = orList ? ['a list of such mappings'] : [];
        sayWrongKind(path, [...words, ...names, 'a mapping of keys', ...lists].join(' or '));
      }
    } else if (shape === 'named') {
      if (tree.kind !== 'map') sayWrongKind(path, 'a mapping of keys');
      else checkNames(tree, path, entry.value.most);
    } else if (shape === 'list') {
      const { orCount } = entry.value;
      if (orCount !== undefined && tree.kind === 'scalar') record(checkCount(tree, orCount), path, entry);
      else if (tree.kind !== 'list')
        sayWrongKind(path, orCount === undefined ? 'a list' : 'a number or a list');
      else checkList(tree.items, path, entry.value.most);
    } else record(checkValue(tree, entry), path, entry);
  }

  /** The list, or the text, stands where the mapping would, so that is where its faults are. */
  function checkInPlace(tree: Tree, path: ManifestPath, key: string): void {
    const inner = [...path, key];
    const entry = entryAt(inner)!;
    const checked = checkValue(tree, entry);
    if (checked.ok) values.set(pathKey(inner), checked.value);
    else record(checked, path, entry);
  }

  function sayWrongKind(path: ManifestPath, wanted: string): void {
    say('value-out-of-range', path, `${formatPath(path)} must be ${wanted}.`);
  }

  function record(checked: Checked, path: ManifestPath, entry: KeyEntry): void {
    if (checked.ok) {
      values.set(pathKey(path), checked.value);
      return;
    }
    const place = checked.step === undefined ? path : [...path, checked.step];
    say('value-out-of-range', place, `${formatPath(place)} ${checked.fault}.`, {
      ...(checked.measured !== undefined && { measured: checked.measured }),
      ...(checked.limit !== undefined && { limit: checked.limit }),
      ...(entry.unit !== undefined && { unit: entry.unit }),
    });
  }

  function checkMap(tree: Tree, path: ManifestPath, pattern: string): void {
    if (tree.kind !== 'map') return;
    const known = keysUnder(pattern);
    for (const [name, { value }] of tree.entries) {
      const inner = [...path, name];
      const entry = known.find((key) => key.name === name)?.entry;
      if (entry !== undefined) checkNode(value, inner, entry);
      else sayUnknown(inner, nearestWord(name, unused(known, tree)));
    }
    for (const { name, entry } of known) {
      if (entry.required && isAbsent(tree.entries.get(name)?.value)) {
        say(
          'value-out-of-range',
          path,
          `${formatPath(path)} needs ${name}${entry.unit ? ` (${entry.unit})` : ''}.`,
        );
      }
    }
  }

  function checkOneOf(tree: Tree, path: ManifestPath, oneOf: readonly string[]): void {
    if (tree.kind !== 'map') return;
    const given = oneOf.filter((name) => !isAbsent(tree.entries.get(name)?.value));
    if (given.length === 1) return;
    const what = given.length === 0 ? `needs ${orOf(oneOf)}` : `has ${given.join(' and ')}; keep one`;
    say('value-out-of-range', path, `${formatPath(path)} ${what}.`);
  }

  function sayUnknown(path: ManifestPath, nearest: string | null): void {
    const advice = nearest === null ? 'it has no effect' : `did you mean ${nearest}?`;
    const message = `${formatPath(path)} is not a key Kitwright knows; ${advice}`;
    say('key-unknown', path, nearest === null ? `${message}.` : message, { atKey: true });
  }

  function checkNames(tree: Tree, path: ManifestPath, most = Infinity): void {
    if (tree.kind !== 'map') return;
    sayTooMany(tree.entries.size, path, most);
    const what = path.length === 1 ? (path[0] as NamedGroup) : 'cuts of a part';
    const usable: string[] = [];
    const seen = new Map<string, string>();
    for (const [name, { value }] of [...tree.entries].slice(0, most)) {
      const inner = [...path, name];
      const fault = nameFault(what, name, seen);
      if (fault !== null) {
        const message = `The name ${shorten(name) || '(empty)'} of ${singular[what]} ${fault}.`;
        findings.push({ code: 'value-out-of-range', part: null, path: inner, atKey: true, message });
        continue;
      }
      const entry = entryAt(inner)!;
      if (entry.value.shape !== 'map' || value.kind === 'map' || isAbsent(value)) usable.push(name);
      checkNode(value, inner, entry);
    }
    named.set(pathKey(path), usable);
  }

  function sayTooMany(count: number, path: ManifestPath, most: number): void {
    if (count <= most) return;
    const message = `${formatPath(path)} has ${count} entries; no more than the first ${most} are taken.`;
    say('value-out-of-range', path, message, { measured: count, limit: most });
  }

  function checkList(items: readonly Tree[], path: ManifestPath, most = Infinity): void {
    const length = Math.min(items.length, most);
    lengths.set(pathKey(path), length);
    sayTooMany(items.length, path, most);
    for (const [index, item] of items.slice(0, length).entries()) {
      const inner = [...path, index];
      checkNode(item, inner, entryAt(inner)!);
    }
  }
}

type NamedGroup = 'parts' | 'resins' | 'plates' | 'cuts' | 'joints' | 'lights' | 'cuts of a part';

const singular: Readonly<Record<NamedGroup, string>> = {
  parts: 'a part',
  plates: 'a plate',
  resins: 'a resin',
  cuts: 'a cut',
  joints: 'a joint',
  lights: 'a light',
  'cuts of a part': 'a cut',
};

const orOf = (words: readonly string[]): string =>
  words.length < 3 ? words.join(' or ') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;

function isAbsent(tree: Tree | undefined): boolean {
  return tree === undefined || (tree.kind === 'scalar' && tree.value === null);
}

function isWord(tree: Tree, words: readonly string[]): tree is Extract<Tree, { kind: 'scalar' }> {
  return tree.kind === 'scalar' && typeof tree.value === 'string' && words.includes(tree.value);
}

function unused(known: ReturnType<typeof keysUnder>, tree: Extract<Tree, { kind: 'map' }>): string[] {
  return known.map(({ name }) => name).filter((name) => !tree.entries.has(name));
}

/** Ready files bear the names of parts and plates, so two that differ in case alone would overwrite each other. */
function nameFault(what: NamedGroup, name: string, seen: Map<string, string>): string | null {
  if (what !== 'parts' && what !== 'plates') return resinNameFault(name);
  const fault = partNameFault(name);
  if (fault !== null) return fault;
  const folded = name.normalize('NFC').toLowerCase();
  const other = seen.get(folded);
  seen.set(folded, name);
  return other === undefined ? null : `differs from ${other} in letter case alone`;
}

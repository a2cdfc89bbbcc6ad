import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import {
  applyEdits,
  insertIntoList,
  removeAt,
  replaceKey,
  setValue,
  type TextEdit,
} from '../../../src/core/kit/edits.ts';
import type { ManifestPath } from '../../../src/core/kit/manifest.ts';
import type { YamlValue } from '../../../src/core/kit/renderYaml.ts';
import { lamplighter } from './lamplighter.ts';

const vent = { at: [1, -2.5, 3], diameter: 8, depth: 4 };

/** The text after an edit that must be offered. */
function edited(text: string, edits: readonly TextEdit[]): string {
  expect(edits).toHaveLength(1);
  return applyEdits(text, edits);
}

/** Lines of `text` that are not in `original`, and the other way round. */
function changedLines(original: string, text: string): { gone: string[]; come: string[] } {
  const [a, b] = [original.split('\n'), text.split('\n')];
  let head = 0;
  while (head < Math.min(a.length, b.length) && a[head] === b[head]) head++;
  let tail = 0;
  while (tail < Math.min(a.length, b.length) - head && a.at(-1 - tail) === b.at(-1 - tail)) tail++;
  return { gone: a.slice(head, a.length - tail), come: b.slice(head, b.length - tail) };
}

const comments = (text: string): string[] => text.match(/#.*/g) ?? [];

describe('setValue', () => {
  it.each<[ManifestPath, YamlValue, string, string]>([
    [
      ['parts', 'torso', 'wall'],
      'solid',
      '    wall: 1.5                # mm, or: solid',
      '    wall: solid                # mm, or: solid',
    ],
    [
      ['scale', 'factor'],
      5.1,
      '  factor: 3.4                # print mm per source unit',
      '  factor: 5.1                # print mm per source unit',
    ],
    [
      ['parts', 'torso', 'vents', 0, 'depth'],
      6.5,
      '      - { at: [12.1, -3.0, 8.4], diameter: 14, depth: 4 }     # by the belt',
      '      - { at: [12.1, -3.0, 8.4], diameter: 14, depth: 6.5 }     # by the belt',
    ],
    [
      ['parts', 'torso', 'vents', 0, 'toward'],
      [0, 0, 1],
      '      - { at: [12.1, -3.0, 8.4], diameter: 14, depth: 4 }     # by the belt',
      '      - { at: [12.1, -3.0, 8.4], diameter: 14, depth: 4, toward: [0, 0, 1] }     # by the belt',
    ],
  ])('%j: one line changes, its comment stays', (path, value, gone, come) => {
    const text = edited(lamplighter, setValue(lamplighter, path, value));
    expect(changedLines(lamplighter, text)).toEqual({ gone: [gone], come: [come] });
  });

  it.each<[ManifestPath, YamlValue, string[]]>([
    [['limits', 'pull'], 140, ['limits:', '  pull: 140']],
    [['parts', 'lantern', 'raise'], 3, ['    raise: 3']],
    [['parts', 'base', 'file'], 'parts/base.stl', ['  base:', '    file: parts/base.stl']],
    [
      ['parts', 'lantern', 'vents', 0],
      vent,
      ['    vents:', '      - { at: [1, -2.5, 3], diameter: 8, depth: 4 }'],
    ],
    [['machine', 'lift', 'second'], { distance: 1, up: 2, down: 3 }, []],
  ])('%j absent: new lines alone', (path, value, come) => {
    const text = edited(lamplighter, setValue(lamplighter, path, value));
    if (come.length > 0) expect(changedLines(lamplighter, text)).toEqual({ gone: [], come });
    expect(comments(text)).toEqual(comments(lamplighter));
  });

  it.each<[string, ManifestPath, YamlValue, string]>([
    ['', ['kit'], 'x', 'kit: x\n'],
    ['# notes', ['scale', 'factor'], 1, '# notes\nscale:\n  factor: 1\n'],
    ['kit: x', ['scale', 'factor'], 1, 'kit: x\nscale:\n  factor: 1'],
    ['scale: # later\n', ['scale', 'factor'], 1, 'scale: # later\n  factor: 1\n'],
    ['scale:\nkit: x\n', ['scale', 'factor'], 1, 'scale:\n  factor: 1\nkit: x\n'],
    ['scale: {}\n', ['scale', 'factor'], 1, 'scale: { factor: 1 }\n'],
    ['a: { b: , c: 1 }\n', ['a', 'b'], 2, 'a: { b: 2, c: 1 }\n'],
    ['a: { b: 1, }\n', ['a', 'c'], 2, 'a: { b: 1, c: 2 }\n'],
    ['kit:\n', ['kit'], 'true', 'kit: "true"\n'],
    [
      'kit: "x" # y\r\nz: 1\r\n',
      ['machine', 'layer'],
      0.1,
      'kit: "x" # y\r\nz: 1\r\nmachine:\r\n  layer: 0.1\r\n',
    ],
    ['parts:\n- a: 1\n  # why\n  b: 2\n', ['parts', 0, 'c'], 3, 'parts:\n- a: 1\n  # why\n  b: 2\n  c: 3\n'],
    ['\ufeffkit: x\n', ['y'], 1, '\ufeffkit: x\ny: 1\n'],
    ['a: *x\nb: &x 1\n'.split('\n').reverse().join('\n').trim(), ['a'], 2, 'b: &x 1\na: 2'],
    [
      'p: &p { w: 1 }\nq:\n  <<: *p\n  f: a\n',
      ['q', 'w'],
      2,
      'p: &p { w: 1 }\nq:\n  <<: *p\n  f: a\n  w: 2\n',
    ],
  ])('in %j', (text, path, value, expected) => {
    expect(edited(text, setValue(text, path, value))).toBe(expected);
  });

  it.each<[string, ManifestPath]>([
    ['a: &x 1\nb: *x\n', ['a']],
    ['p: &p { w: 1 }\nq: *p\n', ['q', 'w']],
    ['p: &p { w: 1 }\nq: *p\n', ['p', 'w']],
    ['a:\n  b: 1\n', ['a']],
    ['a: [1\n', ['b']],
    ['a: 1\na: 2\n', ['b']],
    ['- 1\n', ['b']],
  ])('offers nothing in %j at %j', (text, path) => {
    expect(setValue(text, path, 9)).toEqual([]);
  });
});

describe('insertIntoList', () => {
  const line = '- { at: [1, -2.5, 3], diameter: 8, depth: 4 }';
  it.each<[string, ManifestPath, string]>([
    ['v: [] # c\n', ['v'], `v: [${line.slice(2)}] # c\n`],
    ['v: [{ a: 1 }]\n', ['v'], `v: [{ a: 1 }, ${line.slice(2)}]\n`],
    ['v:\n  - { a: 1 } # c\n  # d\nw: 1\n', ['v'], `v:\n  - { a: 1 } # c\n  ${line}\n  # d\nw: 1\n`],
    ['v:\n- a: 1\n  b: 2\n', ['v'], `v:\n- a: 1\n  b: 2\n${line}\n`],
    ['v: # c\nw: 1\n', ['v'], `v: # c\n  ${line}\nw: 1\n`],
    ['w: 1\n', ['v'], `w: 1\nv:\n  ${line}\n`],
    ['p: { w: 1 }\n', ['p', 'v'], `p: { w: 1, v: [${line.slice(2)}] }\n`],
  ])('in %j', (text, path, expected) => {
    expect(edited(text, insertIntoList(text, path, vent))).toBe(expected);
  });
  it('puts a second vent under the first, comment and all', () => {
    const text = edited(lamplighter, insertIntoList(lamplighter, ['parts', 'torso', 'vents'], vent));
    expect(changedLines(lamplighter, text)).toEqual({ gone: [], come: [`      ${line}`] });
  });
});

describe('removeAt', () => {
  it.each<[string, ManifestPath, string]>([
    ['a: 1\nb: 2\nc: 3\n', ['b'], 'a: 1\nc: 3\n'],
    ['a: 1\nb: 2 # keep\nc: 3\n', ['b'], 'a: 1\n# keep\nc: 3\n'],
    ['a: 1\r\nb: 2\r\n', ['b'], 'a: 1\r\n'],
    ['a: 1\nb: 2', ['b'], 'a: 1'],
    ['a: { b: 1, c: 2, d: 3 }\n', ['a', 'c'], 'a: { b: 1, d: 3 }\n'],
    ['a: { b: 1, c: 2 }\n', ['a', 'c'], 'a: { b: 1 }\n'],
    ['a: { b: 1 }\n', ['a', 'b'], 'a: {  }\n'],
    ['a: [1, 2, 3]\n', ['a', 0], 'a: [2, 3]\n'],
    ['a:\n  - x: 1\n    y: 2\n  - z\n', ['a', 0, 'x'], 'a:\n  - y: 2\n  - z\n'],
    ['a:\n  - x: 1\n    y: 2\n  - z\n', ['a', 0], 'a:\n  - z\n'],
    ['a:\n  b:\n    c: 1\n  d: 2\n', ['a', 'b'], 'a:\n  d: 2\n'],
    ['a:\n  b: 1\n', ['a', 'b'], 'a:\n'],
  ])('in %j at %j', (text, path, expected) => {
    expect(edited(text, removeAt(text, path))).toBe(expected);
  });
  it.each<[string, ManifestPath]>([
    ['a: 1\n', ['b']],
    ['p: &p { w: 1 }\nq: { <<: *p }\n', ['q', 'w']],
  ])('offers nothing in %j at %j', (text, path) => {
    expect(removeAt(text, path)).toEqual([]);
  });
});

describe('replaceKey', () => {
  it('renames in place', () => {
    const text = 'machine:\n  hieght: 200 # mm\n';
    expect(edited(text, replaceKey(text, ['machine', 'hieght'], 'height'))).toBe(
      'machine:\n  height: 200 # mm\n',
    );
  });
  it('not onto a key that is there', () => {
    expect(replaceKey('a: 1\nb: 2\n', ['a'], 'b')).toEqual([]);
  });
});

it('writes −0 as the number that it is', () => {
  const text = 'parts:\n  torso: { raise: 5 } # mm\n';
  const changed = edited(text, setValue(text, ['parts', 'torso', 'raise'], -0));
  expect(parse(changed).parts.torso.raise === 0).toBe(true);
  expect(changed).toContain('# mm');
});

describe('any edit of any leaf of the design’s manifest', () => {
  const leaves = leafPaths(parse(lamplighter));
  const value = fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }).map((number) => (number === 0 ? 0 : number)),
    fc.string({ unit: 'binary', maxLength: 12 }),
    fc.constantFrom('solid', 'true', 'null', '1.5', '- a', '# b', 'a: b', '[', '', ' x'),
    fc.array(fc.integer(), { maxLength: 3 }),
    fc.boolean(),
  );
  const eol = fc.constantFrom('\n', '\r\n');

  it('is offered, sets the value, and keeps every comment and every other line', () => {
    fc.assert(
      fc.property(fc.constantFrom(...leaves), value, eol, (path, set, newline) => {
        const text = lamplighter.replaceAll('\n', newline);
        const changed = edited(text, setValue(text, path, set));
        const expected = parse(text);
        setIn(expected, path, set);
        expect(parse(changed)).toEqual(expected);
        // A value may hold a # of its own; the comments are what a reader finds behind it.
        expect(changedLines(text, changed).gone.length).toBeLessThanOrEqual(1);
        const kept = comments(text).filter((comment) => changed.includes(comment));
        expect(kept).toEqual(comments(text));
      }),
      { numRuns: 150 },
    );
  });

  it('takes out any leaf and keeps every comment', () => {
    for (const path of leaves) {
      const changed = edited(lamplighter, removeAt(lamplighter, path));
      expect(comments(changed), JSON.stringify(path)).toEqual(comments(lamplighter));
      expect(changedLines(lamplighter, changed).gone.length, JSON.stringify(path)).toBe(1);
    }
  });
});

function leafPaths(value: unknown, path: ManifestPath = []): ManifestPath[] {
  if (Array.isArray(value)) return value.flatMap((item, index) => leafPaths(item, [...path, index]));
  if (typeof value === 'object' && value !== null) {
    return Object.entries(value).flatMap(([key, inner]) => leafPaths(inner, [...path, key]));
  }
  return [path];
}

function setIn(root: unknown, path: ManifestPath, value: unknown): void {
  const holder = path.slice(0, -1).reduce((node, step) => (node as Record<string, unknown>)[step], root);
  (holder as Record<string, unknown>)[path.at(-1)!] = value;
}

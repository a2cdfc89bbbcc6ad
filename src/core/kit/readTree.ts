import {
  type Alias,
  Composer,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  type ParsedNode,
  Parser,
  type YAMLMap,
} from 'yaml';
import { lineEnd } from './textLines.ts';

/** A piece of the text, UTF-16 offsets. */
export interface Span {
  readonly start: number;
  readonly end: number;
}

interface Placed extends Span {
  /** Written in flow style: `{ … }` or `[ … ]`. */
  readonly flow: boolean;
  /** The value stands elsewhere (an alias, a merge key) or is shared (an anchor), so an edit of it would reach further. */
  readonly shared: boolean;
}

export interface TreeEntry {
  readonly key: Span;
  readonly value: Tree;
  /** Came in by a merge key, so the mapping's own text does not hold it. */
  readonly merged: boolean;
}

/** The manifest's values with their places; anchors, aliases and merge keys already followed. */
export type Tree =
  | (Placed & { readonly kind: 'map'; readonly entries: ReadonlyMap<string, TreeEntry> })
  | (Placed & { readonly kind: 'list'; readonly items: readonly Tree[] })
  | (Placed & { readonly kind: 'scalar'; readonly value: unknown });

export interface TreeProblem extends Span {
  readonly message: string;
}

export interface ReadTree {
  /** Null when the text is empty or is no YAML at all. */
  readonly root: Tree | null;
  readonly problems: readonly TreeProblem[];
  /** False when the text is broken YAML, so that the tree holds guesses. */
  readonly whole: boolean;
}

/** UTF-16 units; a manifest of a hundred parts has some 50 000. */
export const largestManifest = 1_000_000;
const deepestNesting = 64;
const mostNodes = 100_000;
const mostProblems = 20;

/**
 * Reads YAML 1.2 (core schema) into a tree of located values. Never throws: whatever is wrong is a
 * problem at its place. Nesting is measured on the flat token tree before anything recursive sees
 * it, and values reached through aliases count against one budget, so that no text can exhaust the
 * stack or the memory.
 */
export function readTree(text: string): ReadTree {
  if (text.length > largestManifest) {
    return broken(
      `The manifest has ${text.length} characters, more than the ${largestManifest} that are read.`,
    );
  }
  const tokens = [...new Parser().parse(text)];
  if (nesting(tokens) > deepestNesting) {
    return broken(`The manifest is nested more than ${deepestNesting} levels deep.`);
  }
  const composer = new Composer({ schema: 'core', uniqueKeys: false, prettyErrors: false });
  const documents = [...composer.compose(tokens, true, text.length)];
  const problems: TreeProblem[] = documents.flatMap((document) =>
    document.errors.map((error) => ({
      message: sentence(error.message),
      start: Math.min(error.pos[0], text.length),
      end: Math.min(Math.max(error.pos[1], error.pos[0]), text.length),
    })),
  );
  if (documents.length > 1) {
    problems.push({
      message: 'The manifest holds more than one YAML document; only the first is read.',
      ...firstLine(text),
    });
  }
  const whole = problems.length === 0;
  const reader = new TreeReader(problems);
  const contents = (documents[0] as Document<ParsedNode> | undefined)?.contents ?? null;
  const root = contents === null ? null : reader.read(contents, false);
  return { root, problems: problems.slice(0, mostProblems), whole };

  function broken(message: string): ReadTree {
    return { root: null, problems: [{ message, ...firstLine(text) }], whole: false };
  }
}

function firstLine(text: string): Span {
  return { start: 0, end: lineEnd(text, 0) };
}

interface FlatToken {
  readonly type?: string;
  readonly value?: unknown;
  readonly items?: readonly { readonly key?: unknown; readonly value?: unknown }[];
}

function nesting(tokens: readonly unknown[]): number {
  const pending: [FlatToken, number][] = tokens.map((token) => [token as FlatToken, 0]);
  let deepest = 0;
  for (let next = pending.pop(); next !== undefined; next = pending.pop()) {
    const [token, depth] = next;
    deepest = Math.max(deepest, depth);
    const visit = (child: unknown): void => {
      if (typeof child === 'object' && child !== null) pending.push([child as FlatToken, depth + 1]);
    };
    if (token.type === 'document') visit(token.value);
    for (const item of token.items ?? []) {
      visit(item.key);
      visit(item.value);
    }
  }
  return deepest;
}

function sentence(message: string): string {
  const trimmed = message.trim().replace(/\s+/g, ' ');
  return /[.!?]$/.test(trimmed) ? trimmed : `${trimmed}.`;
}

class TreeReader {
  private readonly anchors = new Map<string, Node>();
  private readonly open = new Set<Node>();
  private budget = mostNodes;
  private readonly problems: TreeProblem[];

  constructor(problems: TreeProblem[]) {
    this.problems = problems;
  }

  read(node: Node, shared: boolean): Tree {
    const span = spanOf(node);
    if (this.budget-- <= 0) {
      if (this.budget === -1) this.say('The manifest expands to more values than are read.', span);
      return nothing(span);
    }
    if (isAlias(node)) return this.readAlias(node, span);
    const anchored = (node as { anchor?: string }).anchor;
    if (anchored !== undefined) this.anchors.set(anchored, node);
    const placed = {
      ...span,
      flow: (node as { flow?: boolean }).flow === true,
      shared: shared || anchored !== undefined,
    };
    if (isScalar(node)) return { kind: 'scalar', value: node.value, ...placed };
    this.open.add(node);
    const tree: Tree = isMap(node)
      ? { kind: 'map', entries: this.readEntries(node, placed.shared), ...placed }
      : isSeq(node)
        ? {
            kind: 'list',
            items: node.items.map((item) => this.readAny(item, span, placed.shared)),
            ...placed,
          }
        : nothing(span);
    this.open.delete(node);
    return tree;
  }

  private readAny(item: unknown, around: Span, shared: boolean): Tree {
    if (item === null || item === undefined) return nothing(around);
    // A single pair in a flow list, `[a: 1]`, stands for a mapping of one entry.
    const pair = item as Partial<Pair>;
    if (!isNode(item) && pair.key !== undefined) {
      const entries = new Map<string, TreeEntry>();
      this.addPair(entries, [], item as Pair, around, shared);
      return { kind: 'map', entries, ...around, flow: true, shared };
    }
    return this.read(item as Node, shared);
  }

  private readAlias(alias: Alias, span: Span): Tree {
    const target = this.anchors.get(alias.source);
    if (target === undefined) {
      this.say(`The alias *${alias.source} names no anchor above it.`, span);
      return nothing(span);
    }
    if (this.open.has(target)) {
      this.say(`The alias *${alias.source} stands inside what it names.`, span);
      return nothing(span);
    }
    // A scalar can be replaced where the alias stands; what lies inside a collection cannot.
    return { ...this.read(target, true), ...span, flow: true, shared: !isScalar(target) };
  }

  private readEntries(map: YAMLMap, shared: boolean): ReadonlyMap<string, TreeEntry> {
    const own = new Map<string, TreeEntry>();
    const merges: Tree[] = [];
    for (const pair of map.items) this.addPair(own, merges, pair, spanOf(map), shared);
    for (const source of merges) this.merge(own, source);
    return own;
  }

  private addPair(
    own: Map<string, TreeEntry>,
    merges: Tree[],
    pair: Pair,
    around: Span,
    shared: boolean,
  ): void {
    const key = pair.key as Node | null;
    const span = key === null ? around : spanOf(key);
    const value = this.readAny(pair.value, { start: span.end, end: span.end }, shared);
    if (key !== null && !isScalar(key)) {
      this.say('A key must be a plain word.', span);
      return;
    }
    const name = key === null || key.value === null ? '' : String(key.value);
    if (name === '<<') merges.push(value);
    else if (own.has(name)) this.say(`The key “${name}” stands twice in the same mapping.`, span);
    else own.set(name, { key: span, value, merged: false });
  }

  private merge(own: Map<string, TreeEntry>, source: Tree): void {
    if (source.kind === 'list') {
      for (const item of source.items) this.merge(own, item);
    } else if (source.kind === 'map') {
      for (const [name, entry] of source.entries) {
        if (!own.has(name)) own.set(name, { ...entry, merged: true });
      }
    } else this.say('A merge key must name a mapping.', source);
  }

  private say(message: string, span: Span): void {
    this.problems.push({ message, start: span.start, end: span.end });
  }
}

function isNode(item: unknown): boolean {
  return isAlias(item) || isMap(item) || isSeq(item) || isScalar(item);
}

function nothing(span: Span): Tree {
  return { kind: 'scalar', value: null, start: span.start, end: span.end, flow: false, shared: false };
}

function spanOf(node: Node): Span {
  const range = node.range;
  return range ? { start: range[0], end: range[1] } : { start: 0, end: 0 };
}

import type { ManifestPath } from './manifest.ts';
import type { Tree } from './readTree.ts';
import type { YamlValue } from './renderYaml.ts';

/** The tree's values without places. Maps are `Map`s, so that no key can mean anything to the language. */
export type Plain = Map<string, Plain> | Plain[] | { readonly scalar: unknown };

export function plainOf(tree: Tree): Plain {
  if (tree.kind === 'scalar') return { scalar: tree.value };
  if (tree.kind === 'list') return tree.items.map(plainOf);
  return new Map([...tree.entries].map(([key, { value }]) => [key, plainOf(value)]));
}

export function plainOfValue(value: YamlValue): Plain {
  if (value === null || typeof value !== 'object') return { scalar: value };
  if (Array.isArray(value)) return value.map(plainOfValue);
  return new Map(Object.entries(value).map(([key, inner]) => [key, plainOfValue(inner)]));
}

/** `whole` with `value` at `path`; missing maps and lists on the way are made. */
export function withValue(whole: Plain | undefined, path: ManifestPath, value: Plain): Plain {
  const [step, ...rest] = path;
  if (step === undefined) return value;
  if (typeof step === 'number') {
    const list = Array.isArray(whole) ? [...whole] : [];
    list[step] = withValue(list[step], rest, value);
    return list;
  }
  const map = whole instanceof Map ? new Map(whole) : new Map<string, Plain>();
  return map.set(step, withValue(map.get(step), rest, value));
}

export function withoutValue(whole: Plain, path: ManifestPath): Plain {
  const [step, ...rest] = path;
  if (step === undefined) return whole;
  if (Array.isArray(whole)) {
    if (rest.length === 0) return whole.filter((_, index) => index !== step);
    return whole.map((item, index) => (index === step ? withoutValue(item, rest) : item));
  }
  if (!(whole instanceof Map)) return whole;
  const map = new Map(whole);
  const inner = map.get(String(step));
  if (inner === undefined) return whole;
  if (rest.length === 0) map.delete(String(step));
  else map.set(String(step), withoutValue(inner, rest));
  return map;
}

/** Equal values; the order of keys does not count, and an empty map or list is as good as none. */
export function samePlain(a: Plain, b: Plain): boolean {
  if (isEmpty(a) && isEmpty(b)) return true;
  if (a instanceof Map || b instanceof Map) {
    if (!(a instanceof Map && b instanceof Map) || a.size !== b.size) return false;
    return [...a].every(([key, value]) => b.has(key) && samePlain(value, b.get(key)!));
  }
  if (Array.isArray(a) || Array.isArray(b)) {
    if (!(Array.isArray(a) && Array.isArray(b)) || a.length !== b.length) return false;
    return a.every((value, index) => samePlain(value, b[index]!));
  }
  // `===` makes −0 and 0 one value, as the text does; `Object.is` lets NaN be itself.
  return a.scalar === b.scalar || Object.is(a.scalar, b.scalar);
}

function isEmpty(value: Plain): boolean {
  if (value instanceof Map) return value.size === 0;
  return Array.isArray(value) ? value.length === 0 : value.scalar === null;
}

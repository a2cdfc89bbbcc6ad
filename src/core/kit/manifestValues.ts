import type { CheckedTree } from './checkTree.ts';
import { keyEntry } from './keyTable.ts';
import type { Assumption, ManifestPath } from './manifest.ts';
import { formatPath, pathKey } from './manifestPath.ts';

/**
 * Reads checked leaves by path and fills in what is absent or unusable from the key table; each
 * default that assumes something is noted once.
 */
export class ManifestValues {
  readonly assumptions: Assumption[] = [];
  private readonly noted = new Set<string>();
  private readonly checked: CheckedTree;

  constructor(checked: CheckedTree) {
    this.checked = checked;
  }

  has(path: ManifestPath): boolean {
    return this.checked.values.has(pathKey(path));
  }

  /** The leaf as written, or undefined. */
  given<T>(path: ManifestPath): T | undefined {
    return this.checked.values.get(pathKey(path)) as T | undefined;
  }

  /** The leaf as written, or the default of `pattern` in the key table. */
  of<T>(path: ManifestPath, pattern: string = path.join('.')): T {
    const given = this.given<T>(path);
    if (given !== undefined) return given;
    const { fallback, unit, basis } = keyEntry(pattern);
    if (basis !== undefined) this.note(formatPath(path), fallback, unit ?? '', basis);
    return fallback as T;
  }

  /** Names under a mapping of names, in the text's order. */
  names(path: ManifestPath): readonly string[] {
    return this.checked.named.get(pathKey(path)) ?? [];
  }

  isList(path: ManifestPath): boolean {
    return this.checked.lengths.has(pathKey(path));
  }

  length(path: ManifestPath): number {
    return this.checked.lengths.get(pathKey(path)) ?? 0;
  }

  note(key: string, value: unknown, unit: string, basis: string): void {
    if (this.noted.has(key)) return;
    this.noted.add(key);
    const shown =
      typeof value === 'number' ? value : Array.isArray(value) ? value.join(' × ') : String(value);
    this.assumptions.push({ key, value: shown, unit, basis });
  }
}

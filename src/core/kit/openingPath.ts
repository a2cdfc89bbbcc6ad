import type { OpeningId } from '../openings/opening.ts';
import type { ManifestPath } from './manifest.ts';

/** Where `vents/0` of a part stands in the manifest, or one of its keys. */
export function openingPath(part: string, id: OpeningId, key?: string): ManifestPath {
  const [list, index] = id.split('/') as [string, string];
  return ['parts', part, list, Number(index), ...(key === undefined ? [] : [key])];
}

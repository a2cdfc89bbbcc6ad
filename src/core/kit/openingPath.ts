import type { OpeningId } from '../openings/opening.ts';
import type { ManifestPath } from './manifest.ts';

/** Where `vents/0` of a part stands in the manifest, or `passages/0/base-seam` of a cut, or one of its keys. */
export function openingPath(part: string, id: OpeningId, key?: string): ManifestPath {
  const [list, index, ...cut] = id.split('/') as [string, string, ...string[]];
  const owner = list === 'passages' ? ['cuts', cut.join('/')] : ['parts', part];
  return [...owner, list, Number(index), ...(key === undefined ? [] : [key])];
}

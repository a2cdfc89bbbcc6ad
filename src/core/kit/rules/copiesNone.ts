import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';

export function copiesNone(manifest: Manifest): FindingDraft[] {
  return manifest.parts
    .filter(({ count, mirrored }) => count + mirrored === 0)
    .map(({ name }) => ({
      code: 'value-out-of-range',
      part: name,
      path: ['parts', name, 'count'],
      message: `${name} is printed no times: count and mirrored are both 0.`,
      measured: 0,
      limit: 1,
      unit: 'copies',
    }));
}

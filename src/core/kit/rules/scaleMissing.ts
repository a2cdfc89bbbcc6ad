import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';
import type { Tree } from '../readTree.ts';

/** The factor must follow from exactly one thing: `factor`, or `from` with `finished`. */
export function scaleMissing(manifest: Manifest, root: Extract<Tree, { kind: 'map' }>): FindingDraft[] {
  const scale = root.entries.get('scale')?.value;
  const has = (key: string): boolean => {
    const value = scale?.kind === 'map' ? scale.entries.get(key)?.value : undefined;
    return value !== undefined && !(value.kind === 'scalar' && value.value === null);
  };
  const say = (path: string[], message: string, atKey = true): FindingDraft[] => [
    { code: 'scale-missing', part: null, path, atKey, message },
  ];
  if (has('factor') && has('from')) {
    return say(
      ['scale', 'from'],
      'The scale has both factor and from; keep the one that holds and remove the other.',
    );
  }
  // A factor that stands but cannot be used already has a finding of its own.
  if (has('factor')) return [];
  if (has('from')) {
    if (has('finished')) return [];
    return say(['scale', 'from'], 'from needs finished beside it, as finished: "1:4", to give a factor.');
  }
  if (has('finished')) {
    const message = `finished: ${manifest.scale.finished ?? ''} alone gives no factor; add factor (print mm per source unit), or from with a length in the STL and on the subject.`;
    return say(['scale', 'finished'], message);
  }
  return say(['scale'], 'The manifest gives no scale; add scale: { factor: … } in print mm per source unit.');
}

import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';
import type { Tree } from '../readTree.ts';

/** The factor must follow from exactly one thing: `factor`, or `from`, with `finished` unless it tells the size in print. */
export function scaleMissing(manifest: Manifest, root: Extract<Tree, { kind: 'map' }>): FindingDraft[] {
  const scale = root.entries.get('scale')?.value;
  const has = (key: string): boolean => given(entryOf(scale, key));
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
    if (has('finished') || everyLengthIsInPrint(entryOf(scale, 'from'))) return [];
    return say(['scale', 'from'], 'from needs finished beside it, as finished: "1:4", to give a factor.');
  }
  if (has('finished')) {
    const message = `finished: ${manifest.scale.finished ?? ''} alone gives no factor; add factor (print mm per source unit), or from with a length in the STL and what it is on the subject.`;
    return say(['scale', 'finished'], message);
  }
  return say(['scale'], 'The manifest gives no scale; add scale: { factor: … } in print mm per source unit.');
}

function everyLengthIsInPrint(from: Tree | undefined): boolean {
  const lengths = from?.kind === 'list' ? from.items : [from];
  return lengths.every((length) => given(entryOf(length, 'print')));
}

const entryOf = (tree: Tree | undefined, key: string): Tree | undefined =>
  tree?.kind === 'map' ? tree.entries.get(key)?.value : undefined;

const given = (tree: Tree | undefined): boolean =>
  tree !== undefined && !(tree.kind === 'scalar' && tree.value === null);

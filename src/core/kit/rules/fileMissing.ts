import type { Failure } from '../../result.ts';
import type { FindingDraft } from '../finding.ts';
import type { FindingCode } from '../findingTable.ts';
import type { Manifest } from '../manifest.ts';
import type { Tree } from '../readTree.ts';

/** Parts that name no file. One whose name cannot be used already has a finding of its own. */
export function fileNotNamed(manifest: Manifest, root: Extract<Tree, { kind: 'map' }>): FindingDraft[] {
  return manifest.parts
    .filter(({ file, name }) => file === null && !namesFile(root, name))
    .map(({ name }) => ({
      code: 'file-missing',
      part: name,
      path: ['parts', name],
      atKey: true,
      message: `${name} names no STL; add file: parts/….stl.`,
    }));
}

function namesFile(root: Extract<Tree, { kind: 'map' }>, part: string): boolean {
  const parts = root.entries.get('parts')?.value;
  const entry = parts?.kind === 'map' ? parts.entries.get(part)?.value : undefined;
  const file = entry?.kind === 'map' ? entry.entries.get('file')?.value : undefined;
  return file !== undefined && !(file.kind === 'scalar' && file.value === null);
}

/** What a failure to read or to check a part's file is, as a finding at its `file`. */
export function partFailed(part: string, failure: Failure): FindingDraft {
  return { code: failureFinding(failure), part, path: ['parts', part, 'file'], message: failure.message };
}

function failureFinding({ code }: Failure): FindingCode {
  if (code === 'file-missing') return 'file-missing';
  return code.startsWith('stl-') || code.startsWith('file-') ? 'file-unreadable' : 'engine-failed';
}

import { difference } from '../kit/difference.ts';
import { applyEdits, setValue, type TextEdit } from '../kit/edits.ts';
import type { Part } from '../kit/manifest.ts';
import type { PoseReport } from './poseReport.ts';

/**
 * The one edit that puts a proposed pose into the manifest: `turn`, and `raise` where supports are planned that have no
 * room under the part as it is raised. None where all stands there already; null where the text does not allow it.
 */
export function poseEdits(
  text: string,
  part: Pick<Part, 'name' | 'turn' | 'raise' | 'supports'>,
  { turn, raise_mm }: Pick<PoseReport, 'turn' | 'raise_mm'>,
): readonly TextEdit[] | null {
  let changed = text;
  const put = (key: string, value: number | number[]): boolean => {
    const edits = setValue(changed, ['parts', part.name, key], value);
    changed = applyEdits(changed, edits);
    return edits.length > 0;
  };
  if (part.turn.join() !== turn.join() && !put('turn', [...turn])) return null;
  if (part.supports !== null && part.raise < raise_mm && !put('raise', raise_mm)) return null;
  return changed === text ? [] : [difference(text, changed)];
}

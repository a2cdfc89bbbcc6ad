import type { FindingDraft } from '../finding.ts';
import type { Manifest } from '../manifest.ts';

/** A part that bears the name of another's mirrored copy: both ready files would be one. */
export function copyNameTaken({ parts }: Manifest): FindingDraft[] {
  const copies = new Map(
    parts
      .filter(({ mirrored }) => mirrored > 0)
      .map(({ name }) => [`${name}-mirrored`.toLowerCase(), name] as const),
  );
  return parts.flatMap(({ name }): FindingDraft[] => {
    const original = copies.get(name.toLowerCase());
    if (original === undefined) return [];
    return [
      {
        code: 'value-out-of-range',
        part: name,
        path: ['parts', name],
        atKey: true,
        message: `The name ${name} is that of the mirrored copy of ${original}, and their ready files would be one; give this part another name.`,
      },
    ];
  });
}

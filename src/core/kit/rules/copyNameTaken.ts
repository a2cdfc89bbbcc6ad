import type { FindingDraft } from '../finding.ts';
import type { Manifest, Part } from '../manifest.ts';

/** A part that bears the name of what is written beside another: both ready files would be one. */
export function copyNameTaken({ parts, plates }: Manifest): FindingDraft[] {
  const ofPlates = plates.map(({ name }) => ({ name: `${name}-plate`, what: `plate ${name}` }));
  const written = [...parts.flatMap(besides), ...ofPlates];
  const taken = new Map(written.map(({ name, what }) => [name.toLowerCase(), what]));
  return parts.flatMap(({ name }): FindingDraft[] => {
    const what = taken.get(name.toLowerCase());
    if (what === undefined) return [];
    return [
      {
        code: 'value-out-of-range',
        part: name,
        path: ['parts', name],
        atKey: true,
        message: `The name ${name} is that of the ${what}, and their ready files would be one; give this part another name.`,
      },
    ];
  });
}

function besides({
  name,
  mirrored,
  stoppers,
  supports,
}: Part): { readonly name: string; readonly what: string }[] {
  const copy = { name: `${name}-mirrored`, what: `mirrored copy of ${name}` };
  const copies = mirrored > 0 ? [copy] : [];
  const kinds = [...(stoppers.length > 0 ? ['stoppers'] : []), ...(supports === null ? [] : ['supports'])];
  const beside = [name, ...copies.map((one) => one.name)].flatMap((one) =>
    kinds.map((kind) => ({ name: `${one}-${kind}`, what: `${kind} of ${one}` })),
  );
  return [...copies, ...beside];
}

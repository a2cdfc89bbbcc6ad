import type { FindingDraft } from '../finding.ts';
import type { Manifest, ManifestPath, Plate } from '../manifest.ts';
import { shorten } from '../manifestPath.ts';
import { nearestWord } from '../nearestWord.ts';

/** A plate takes parts of the kit, each once and as sculpted. */
export function plateParts(manifest: Manifest): FindingDraft[] {
  return manifest.plates.flatMap((plate) => faultsOf(manifest, plate));
}

function faultsOf({ parts }: Manifest, plate: Plate): FindingDraft[] {
  const known = parts.map(({ name }) => name);
  const told = new Set<string>();
  const on = `on the plate ${plate.name}`;
  return plate.parts.flatMap(({ index, part: name }): FindingDraft[] => {
    const part = parts.find((candidate) => candidate.name === name);
    const nearest = nearestWord(name, known);
    const advice = nearest === null ? 'Correct the name, or take it out.' : `Did you mean ${nearest}?`;
    const fault =
      part === undefined
        ? `${shorten(name)} ${on} is no part of this kit. ${advice}`
        : told.has(name)
          ? `${name} stands twice ${on}, which takes each part once. Take one out.`
          : part.count === 0
            ? `${name} ${on} is printed as a mirror image only (count: 0), and a plate takes parts as sculpted. Take it out.`
            : null;
    told.add(name);
    const path: ManifestPath = ['plates', plate.name, 'parts', index];
    return fault === null ? [] : [{ code: 'plate-part-unknown', part: null, path, message: fault }];
  });
}

/** Those of a plate's parts that can stand on it: in the kit, each once, printed as sculpted. */
export function platedParts({ parts }: Manifest, plate: Plate): Plate['parts'] {
  return plate.parts.filter(
    ({ part: name }, at) =>
      plate.parts.findIndex(({ part }) => part === name) === at &&
      parts.some((part) => part.name === name && part.count > 0),
  );
}

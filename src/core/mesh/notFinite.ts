import { failure } from '../result.ts';

/** Sentence for facets whose corners are no numbers; shared by both encodings. */
export function notFinite(broken: number, firstFacet: number) {
  return failure(
    'stl-not-finite',
    `${broken} triangle${broken === 1 ? ' has' : 's have'} corners that are not finite numbers (the first is triangle ${firstFacet + 1}). Clean the mesh in the sculpting program and export it again.`,
  );
}

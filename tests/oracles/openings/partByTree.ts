import type { FacetTree } from '../../../src/core/field/facetTree.ts';
import type { OpenablePart } from '../../../src/core/openings/openablePart.ts';

/** A posed part with its facets sorted into trees. */
export interface PartByTree extends Omit<OpenablePart, 'outer' | 'cavity'> {
  readonly outer: FacetTree;
  readonly cavity: FacetTree | null;
}

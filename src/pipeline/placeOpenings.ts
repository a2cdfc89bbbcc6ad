import { buildFacetTree } from '../core/field/facetTree.ts';
import type { Interrupter } from '../core/interrupter.ts';
import type { OpeningFacts } from '../core/openings/opening.ts';
import { placeOpening } from '../core/openings/placeOpening.ts';
import type { PosedPart } from './measurePosed.ts';

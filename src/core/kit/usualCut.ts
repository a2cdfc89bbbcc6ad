import type { CutDecision } from '../cut/cutDecision.ts';
import { keyEntry } from './keyTable.ts';

const fallback = (key: string): number => keyEntry(`cuts.*.${key}`).fallback as number;

/** Keys and clearance of a cut that says nothing of them. */
export const usualCut: Pick<CutDecision, 'key' | 'clearance' | 'passages'> & {
  readonly keys: { readonly count: number };
} = {
  keys: { count: fallback('keys') },
  key: {
    diameter: fallback('key.diameter'),
    length: fallback('key.length'),
    taper: fallback('key.taper'),
    wall: fallback('key.wall'),
  },
  clearance: fallback('clearance'),
  passages: [],
};

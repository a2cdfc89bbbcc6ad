import type { ProofKind } from './proofPlace.ts';

/** What a printed piece of each kind answers, a sentence. Common practice, no source. */
export const whatToLookFor: Readonly<Record<ProofKind, string>> = {
  opening:
    'Look whether the hole came out open and round all the way through, with no skin across it and no dent or crack in the wall round it.',
  ceiling:
    'Look at the ceiling from below: it should be level, without torn layers, sagging in its middle or flakes left on the film.',
  wall: 'Hold the wall against a light and press it: it should be of even thickness, without bulges or lines where a layer shifted.',
  key: 'Print the piece of the other half too and bring them together by hand: plug and socket should slide without force and without play, and the seam close all round.',
  place: 'Compare it with the sculpt: edges, detail and thickness should be as you decided them.',
};

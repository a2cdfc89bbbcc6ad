import { describe, expect, test } from 'vitest';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import type { Ceiling } from '../../../src/core/layers/layerFigures.ts';
import { choosePlace } from '../../../src/core/proof/choosePlace.ts';
import type { ProofAsk } from '../../../src/core/proof/proofPlace.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { contextOf, cup, filmDrain, opening, soundFacts, wallLoad } from '../kit/soundFacts.ts';

const ceiling = (change: Partial<Ceiling>): Ceiling => ({
  layer: 200,
  areaMm2: 500,
  spanMm: 20,
  at: [3, 4, 10],
  inside: true,
  ...change,
});

function facts(change: Partial<PartFacts['loads']>, ceilings: readonly Ceiling[] = []): PartFacts {
  const sound = soundFacts();
  return {
    ...sound,
    layers: { ...sound.layers, ceilings },
    loads: { ...sound.loads, cups: [], ...change },
    openings: [opening({}), filmDrain(38)],
  };
}

function chosen(of: PartFacts, ask: ProofAsk | null = null) {
  const { limits } = contextOf(of).manifest;
  const place = choosePlace(of, limits, ask);
  return place.ok ? place.value : place.error;
}

describe('the worst region of a part, in this order', () => {
  const everything = {
    cups: [cup({ peakPullN: 4, breather: 'vents/0' }), cup({ peakPullN: 9, breather: 'drains/0' })],
    walls: [wallLoad({}), wallLoad({ strain: 0.3, at: [9, 9, 9] })],
  };

  test('the largest ceiling that is told, with its span and the walls round it', () => {
    const place = chosen(facts(everything, [ceiling({}), ceiling({ areaMm2: 700, at: [0, 0, 12] })]));
    // Half its span and two walls of 1.5 mm.
    expect(place).toMatchObject({
      kind: 'ceiling',
      at: [0, 0, 12],
      feature: { min: [-13, -13, 9], max: [13, 13, 15] },
      whole: false,
    });
  });

  test('then the opening of the cup that pulls most', () => {
    const place = chosen(facts(everything));
    expect(place).toMatchObject({ kind: 'opening', opening: 'drains/0', at: [5, 6, 38], whole: true });
  });

  test('of a cup that does not breathe, an opening of its chamber', () => {
    const sealed = [cup({ peakPullN: 90, breather: null, chamber: 0 })];
    expect(chosen(facts({ ...everything, cups: sealed }))).toMatchObject({ opening: 'vents/0' });
  });

  test('then the most strained wall, then the widest opening', () => {
    expect(chosen(facts({ walls: everything.walls }))).toMatchObject({ kind: 'wall', at: [40, 0, 12] });
    const wide = opening({ id: 'vents/1' });
    const some = {
      ...facts({}),
      openings: [opening({}), { ...wide, placed: { ...wide.placed!, radius: 5 } }],
    };
    expect(chosen(some)).toMatchObject({ kind: 'opening', opening: 'vents/1' });
  });

  test('of a part with nothing of all this: told', () => {
    expect(chosen({ ...facts({}), openings: [] })).toMatchObject({ code: 'place-unknown' });
  });
});

describe('a place that is asked for', () => {
  test('an opening: its bore through the wall, its rim all round', () => {
    // Upright, 3 mm and two walls across; from 0.1 outside to half of that behind the wall.
    expect(chosen(facts({}), { kind: 'opening', id: 'vents/0' })).toMatchObject({
      opening: 'vents/0',
      feature: {
        min: [-1, 0, expect.closeTo(-0.1, 9)],
        max: [11, 12, expect.closeTo(3, 9)],
      },
    });
  });

  test('a point', () => {
    expect(chosen(facts({}), { kind: 'place', at: [1, 2, 3] })).toMatchObject({
      kind: 'place',
      at: [1, 2, 3],
    });
  });

  test.each<[ProofAsk, RegExp]>([
    [{ kind: 'opening', id: 'vents/7' }, /no opening `vents\/7` that is cut\. It has: vents\/0, drains\/0\./],
    [{ kind: 'ceiling' }, /no ceiling that is told; limits\.ceiling/],
    [{ kind: 'wall' }, /no strained wall: nothing pulls on its walls/],
  ])('%j that is not there', (ask, message) => {
    expect(chosen(facts({}), ask)).toMatchObject({
      code: 'place-unknown',
      message: expect.stringMatching(message),
    });
  });
});

describe('a key of a seam', () => {
  const key = (at: Vec3) => ({ at, diameterMm: 6, lengthMm: 5 });
  const seam = (...keys: ReturnType<typeof key>[]) => ({ misses: false, areaMm2: 400, keys, refused: [] });
  const sound = facts({});
  const cut: PartFacts = {
    ...sound,
    mesh: { ...sound.mesh, seams: [seam(key([0, 0, 20])), seam(key([5, 0, 30]), key([-5, 0, 30]))] },
  };

  test('is counted through all seams, and shown with the solid round plug and socket', () => {
    expect(chosen(cut, { kind: 'key', index: 2 })).toMatchObject({
      kind: 'key',
      seam: 1,
      at: [-5, 0, 30],
      // Its length and two walls of 1.5 mm on every side.
      feature: { min: [-13, -8, 22], max: [3, 8, 38] },
      whole: true,
    });
    expect(chosen(cut, { kind: 'key', index: 0 })).toMatchObject({ seam: 0, at: [0, 0, 20] });
  });

  test('that is not there is told with those that are', () => {
    expect(chosen(cut, { kind: 'key', index: 3 })).toMatchObject({
      code: 'place-unknown',
      message: expect.stringContaining('keys/0, keys/1, keys/2'),
    });
    expect(chosen(sound, { kind: 'key', index: 0 })).toMatchObject({ code: 'place-unknown' });
  });
});

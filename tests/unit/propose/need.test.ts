import { expect, test } from 'vitest';
import type { PosedDrain } from '../../../src/core/drainage/chamberDrain.ts';
import type { FindingDraft } from '../../../src/core/kit/finding.ts';
import type { FindingCode } from '../../../src/core/kit/findingTable.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { openingFaultsOf } from '../../../src/core/propose/judgement.ts';
import { needsFor } from '../../../src/core/propose/need.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { cup, opening, soundFacts, wallLoad } from '../kit/soundFacts.ts';

const setting = { fluid: { viscosity: 0.3, density: 1100 }, limits: { lamp: 6, rinseWay: 3 } };
const fault = (code: FindingCode, change: Partial<FindingDraft> = {}): FindingDraft => ({
  code,
  part: 'torso',
  message: '',
  path: [],
  ...change,
});
const needs = (draft: FindingDraft, facts: Partial<PartFacts> = {}) =>
  needsFor(draft, { ...soundFacts(), ...facts }, setting);

test('a wall that flexes gets a vent as wide as it needs where its limb starts, none for the peel', () => {
  const at = { at: [40, 0, 12] as const, layer: 3 };
  const of = (change: Parameters<typeof wallLoad>[0]) => ({
    loads: { ...soundFacts().loads, walls: [wallLoad({ at: [1, 1, 1] }), wallLoad(change)] },
  });
  const vent = { kind: 'vent', chamber: 0, start: [0, 0, 0.5], diameterMm: 15.46 };
  expect(needs(fault('wall-flexes', at), of({}))).toEqual([{ ...vent, limiting: 'vents/0' }]);
  expect(needs(fault('wall-flexes', at), of({ vent: 'mesh' }))).toEqual([{ ...vent, limiting: null }]);
  expect(needs(fault('wall-flexes', at), of({ ventMm: null }))).toEqual([]);
  expect(needs(fault('wall-flexes', at), of({ load: 'peel', limbAt: null, ventMm: null }))).toEqual([]);
});

test('of walls that flex only those that a vent would hold are the openings’ fault', () => {
  const held = fault('wall-flexes', { remedies: [{ kind: 'propose' }, { kind: 'wall', value: 2 }] });
  const peeled = fault('wall-flexes', { remedies: [{ kind: 'wall', value: 2 }] });
  expect(openingFaultsOf([held, peeled, fault('area-jump')])).toEqual([held]);
});

test('a sealed limb gets a vent where it starts, whichever of its cup’s limbs it is', () => {
  const limb = (x: number, layers: number) => ({
    start: { layer: 10, at: [x, 0, 0.5] as const },
    layers,
    peakAreaMm2: 90,
    peakPullN: 9,
  });
  const loads = { ...soundFacts().loads, cups: [cup({ sealedLimbs: [limb(1, 30), limb(2, 20)] })] };
  for (const x of [1, 2]) {
    expect(needs(fault('sealed-cup', { at: [x, 0, 0.5] }), { loads })).toEqual([
      { kind: 'vent', chamber: 0, start: [x, 0, 0.5], diameterMm: null, limiting: null },
    ]);
  }
});

test('a cup that the sculpt makes gets a way into the hollow behind it, in a solid part none', () => {
  const at = [1, 0, 0.5] as const;
  const sealedLimbs = [{ start: { layer: 10, at }, layers: 30, peakAreaMm2: 90, peakPullN: 9 }];
  const loads = { ...soundFacts().loads, cups: [cup({ sealedLimbs, chamber: null })] };
  expect(needs(fault('sealed-cup', { at }), { loads })).toEqual([{ kind: 'through', start: at }]);
  const hollow = { ...soundFacts().hollow, chambers: [] };
  expect(needs(fault('sealed-cup', { at }), { loads, hollow })).toEqual([]);
});

test('a pond gets a hole beside it as wide as frees it, a dark or unrinsed end one for the lamp or the rinse', () => {
  const drains = [
    { air: 'other', leftMm3: 5000, pond: { at: [1, 2, 3] }, freeingMm: 4.3 } as unknown as PosedDrain,
  ];
  expect(needs(fault('liquid-trapped', { at: drains[0]!.pond!.at }), { drains })).toEqual([
    { kind: 'hole', chamber: 0, near: [1, 2, 3], leastMm: 4.3, purpose: 'empty' },
  ]);
  const [unlitAt, unrinsedAt]: Vec3[] = [
    [4, 5, 6],
    [7, 8, 9],
  ];
  const reach = [{ unlitAt, unrinsedAt } as unknown as NonNullable<PartFacts['reach'][number]>];
  expect(needs(fault('hard-to-cure', { at: unlitAt! }), { reach })).toEqual([
    { kind: 'hole', chamber: 0, near: [4, 5, 6], leastMm: 6, purpose: 'cure' },
  ]);
  expect(needs(fault('hard-to-rinse', { at: unrinsedAt! }), { reach })).toEqual([
    { kind: 'hole', chamber: 0, near: [7, 8, 9], leastMm: 3, purpose: 'rinse' },
  ]);
});

test('a faulty vent is mended, a tube is the wire’s own affair', () => {
  const openings = [opening({}), opening({ id: 'tubes/0', kind: 'tube' })];
  const of = (id: string) => needs(fault('opening-through', { opening: id }), { openings });
  expect(of('vents/0')).toEqual([{ kind: 'mend', opening: 'vents/0' }]);
  expect(of('tubes/0')).toEqual([]);
});

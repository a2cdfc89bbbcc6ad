import { beforeEach, expect, it, vi } from 'vitest';
import type { Ledger, LedgerPart } from '../../../src/core/kit/ledger/ledger.ts';
import type { ChosenSides } from '../../../src/features/ledger/chooseSides.ts';
import { window } from './vscodeStandIn.ts';

vi.mock('vscode', () => import('./vscodeStandIn.ts'));
const { changedParts, chooseChangedPart } = await import('../../../src/features/ledger/showBoth.ts');

const part = (change: Partial<LedgerPart> = {}): LedgerPart => ({
  stl: 'a',
  decisions: 'b',
  size_mm: [1, 2, 3],
  wall_mm: 2,
  openings: {},
  resin: 'slate',
  liquid_ml: 10,
  mass_g: 11,
  hours: 1,
  layers: 60,
  pull_n: 41,
  suction_n: 0,
  trapped_ml: 0,
  supports: null,
  findings: {},
  ...change,
});

function sides(before: Ledger['parts'], after: Ledger['parts']): ChosenSides {
  const side = (name: string, parts: Ledger['parts']) => ({
    revision: name,
    name,
    short: name,
    ledger: { kit: 'k', parts, findings: {} },
  });
  return { repository: {} as ChosenSides['repository'], from: side('v1', before), to: side('v2', after) };
}

const told = vi.fn(async () => undefined);
const asked = vi.fn();
beforeEach(() => {
  vi.clearAllMocks();
  window['showInformationMessage'] = told;
  window['showQuickPick'] = asked;
});

const arm = { part: 'arm', changes: ['worst pull 41 → 9 N'] };
const head = { part: 'head', changes: ['resin +2 ml'] };

it('offers parts that both sides have and that changed', () => {
  const both = sides(
    { arm: part(), head: part(), cap: part(), gone: part() },
    { arm: part({ pull_n: 9 }), head: part({ liquid_ml: 12 }), cap: part(), fresh: part() },
  );
  expect(changedParts(both)).toEqual([arm, head]);
});

it('asks only where there is a choice', async () => {
  const one = sides({ arm: part(), cap: part() }, { arm: part({ pull_n: 9 }), cap: part() });
  expect(await chooseChangedPart(one)).toEqual(arm);
  expect(asked).not.toHaveBeenCalled();
  asked.mockImplementation(async (items: readonly unknown[]) => items[1]);
  const two = sides(
    { arm: part(), head: part() },
    { arm: part({ pull_n: 9 }), head: part({ liquid_ml: 12 }) },
  );
  expect(await chooseChangedPart(two)).toEqual(head);
  expect(asked.mock.calls[0]![0]).toMatchObject([
    { label: 'arm', detail: 'worst pull 41 → 9 N' },
    { label: 'head', detail: 'resin +2 ml' },
  ]);
  asked.mockImplementation(async () => undefined);
  expect(await chooseChangedPart(two)).toBeNull();
});

it('says so where no part changed that both have', async () => {
  expect(await chooseChangedPart(sides({ arm: part() }, { fresh: part() }))).toBeNull();
  expect(told).toHaveBeenCalledWith('No part that both have is otherwise in v2 than in v1.');
});

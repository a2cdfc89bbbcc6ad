import { expect, it } from 'vitest';
import { printEntry } from '../../../src/core/kit/journal/printEntry.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { contextOf, soundFacts } from '../kit/soundFacts.ts';
import { decision } from '../supports/supported.ts';

const told = { date: '2026-11-03', result: 'off-plate', layer: 1, photo: null, words: null } as const;
const hashes = { stl: 'f'.repeat(64), decisions: '0123456789abcdef' };

/** Three layers on a foot of 300 mm². */
function facts(change: Partial<PartFacts> = {}): PartFacts {
  const sound = soundFacts();
  return {
    ...sound,
    layers: { ...sound.layers, layers: 3 },
    loads: {
      ...sound.loads,
      areaMm2: Float64Array.of(300, 900, 500),
      pullN: Float64Array.of(3, 9.5, 5),
      peakPullN: 9.5,
      peakPullLayer: 1,
    },
    ...change,
  };
}

it('takes settings and figures as they stand, and what the plate holds of a part that stands on it', () => {
  const { manifest, part, facts: measured } = contextOf(facts(), { raise: 0, supports: null });
  const entry = printEntry(told, manifest, part, measured, hashes);
  expect(entry.settings).toMatchObject({
    stl: 'f'.repeat(16),
    decisions: hashes.decisions,
    factor: 1,
    supports: 'none',
  });
  // The plate holds 100 kPa of 300 mm², 30 N: 3.158 times the 9.5 N of layer 1, half a newton of it suction.
  expect(entry.figures).toMatchObject({
    peel_kpa: 10,
    peak: { layer: 1, pull_n: 9.5, area_mm2: 900, holds: 3.158 },
    weakest: { layer: 1, holds: 3.158 },
    failed: { layer: 1 },
  });
});

it('takes what planned supports hold without the safety in it, and knows nothing of a slicer’s', () => {
  const reserve = Float64Array.of(Number.POSITIVE_INFINITY, 1.2, 0.9);
  const planned = {
    supports: [],
    ties: [],
    unreached: [],
    idle: [],
    offPlate: [],
    outside: null,
    reserve,
    worst: null,
    spacingMm: 4,
    heldSlopeDeg: 30,
    volumeMm3: 0,
  };
  const supports = { ...decision, safety: 2 };
  const held = contextOf(facts({ supports: planned }), { raise: 5, supports });
  const entry = printEntry({ ...told, layer: null }, held.manifest, held.part, held.facts, hashes);
  expect(entry.figures!.weakest).toEqual({ layer: 2, pull_n: 5, area_mm2: 500, holds: 1.8 });
  expect(entry.figures!.failed).toBeNull();
  const raised = contextOf(facts(), { raise: 5, supports: null });
  const other = printEntry(told, raised.manifest, raised.part, raised.facts, hashes);
  expect([other.figures!.weakest, other.figures!.peak.holds]).toEqual([null, null]);
});

it('takes for the weakest the layer that the least peel would tear off, and none where a cup pulls', () => {
  const sound = facts();
  const areaMm2 = Float64Array.of(300, 2000, 417);
  // 30 N hold. Layer 1 is all peel, held 1.5 times. Layer 2 is mostly suction, held 1.2 times: it tells nothing of the peel.
  const loads = { ...sound.loads, areaMm2, pullN: Float64Array.of(3, 20, 25) };
  const { manifest, part, facts: measured } = contextOf(facts({ loads }), { raise: 0, supports: null });
  const { figures } = printEntry({ ...told, layer: null }, manifest, part, measured, hashes);
  expect(figures!.weakest).toMatchObject({ layer: 1, holds: 1.5 });
});

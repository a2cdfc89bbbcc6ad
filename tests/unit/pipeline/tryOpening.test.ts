import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { openingEdits } from '../../../src/core/kit/openingEdits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { sourceRounding } from '../../../src/core/sourceRounding.ts';
import { measurePart } from '../../../src/pipeline/measurePart.ts';
import { tryOpening } from '../../../src/pipeline/tryOpening.ts';
import type { OpeningCandidate, OpeningTrial } from '../../../src/protocol/openingTrial.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { sphere, toStl } from '../../shapes.ts';
import { thisThread } from './thisThread.ts';

// A ball of 20 mm radius in print; its centre stands 24 mm above the plate.
const manifest = `kit: The Lamplighter
scale: { factor: 2 }
machine: { plate: [60, 60], height: 90, layer: 0.2 }
parts:
  globe:
    file: parts/globe.stl
    turn: [0, 0, 90]
    raise: 4
    wall: 1.5
    vents:
      - { at: [10, 0, 0], diameter: 3 }    # by the arm
`;
const centre = 24;

const kit = mkdtempSync(join(tmpdir(), 'kitwright-try-'));
beforeAll(() => {
  mkdirSync(join(kit, 'parts'));
  writeFileSync(join(kit, 'parts/globe.stl'), toStl(sphere(10, 96)));
});
afterAll(() => rmSync(kit, { recursive: true, force: true }));

const requestFor = (text: string) => {
  const parsed = parseManifest(text).manifest!;
  return { parsed, request: partRequestOf(parsed, parsed.parts[0]!, kit, false)! };
};

async function tried(candidate: OpeningCandidate): Promise<OpeningTrial> {
  const { request } = requestFor(manifest);
  const result = await tryOpening({ ...request, manifestText: manifest, candidate }, thisThread);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

/** The manifest as the gesture leaves it, measured as the check measures it. */
async function checked(candidate: OpeningCandidate, at: OpeningTrial['at']) {
  const { parsed } = requestFor(manifest);
  const edits = openingEdits(manifest, parsed.parts[0]!, { ...candidate, at })!;
  const text = applyEdits(manifest, edits);
  const after = requestFor(text);
  const result = await measurePart(after.request, thisThread, { keepMeshes: false, hashAgain: false });
  if (!result.ok) throw new Error(result.error.message);
  const part = after.parsed.parts[0]!;
  const drafts = partRules({ manifest: after.parsed, part, facts: result.value.facts });
  return { text, facts: result.value.facts, drafts };
}

it('a new vent at the plate end is told as the check tells it once it is written', async () => {
  // Half a millimetre off the surface, as a coarse picture would have it.
  const candidate = { id: null, kind: 'vent', at: [1, 0, 3.5], diameter: 5 } as const;
  const trial = await tried(candidate);
  expect(trial.id).toBe('vents/1');
  // Turned by 90° about z and sized by 2: print (1, 0, −20 + …) is source (0, −0.5, −10).
  expect(trial.at[0]).toBeCloseTo(0, 2);
  expect(trial.at[1]).toBeCloseTo(-0.5, 1);
  expect(Math.hypot(...trial.at)).toBeCloseTo(10, 1);
  for (const value of trial.at) expect(Number(value.toFixed(3))).toBe(value);
  const { text, facts, drafts } = await checked(candidate, trial.at);
  expect(text).toContain('diameter: 3 }    # by the arm\n      - { at: [');
  const { loads } = facts;
  expect(trial.after.suctionN).toBe(Math.max(...loads.cups.map((cup) => cup.peakPullN)));
  expect(trial.after.pullN).toBe(loads.peakPullN);
  expect(trial.after.breathesLayer).toBe(Math.max(...loads.cups.map((cup) => cup.breathesLayer ?? Infinity)));
  expect(trial.after.trappedMl).toBeCloseTo(loads.trappedMm3[0]! / 1000, 9);
  expect(trial.said.map(({ message }) => message)).toEqual(
    drafts.filter(({ opening }) => opening === 'vents/1').map(({ message }) => message),
  );
  expect(trial.placed!.mouth[2]).toBeCloseTo(4, 1);
  // The one vent at the equator leaves the lower half sealed, the new one opens it at once.
  expect(trial.after.suctionN).toBeLessThan(trial.before.suctionN);
});

it('an opening that is moved takes its own place, comment and all', async () => {
  const candidate = { id: 'vents/0', kind: 'vent', at: [20, 0, centre], diameter: 4 } as const;
  const trial = await tried(candidate);
  expect(trial.id).toBe('vents/0');
  const { text, facts } = await checked(candidate, trial.at);
  expect(text).toContain(`- { at: [0, -10, 0], diameter: 4 }    # by the arm`);
  expect(facts.openings).toHaveLength(1);
  expect(trial.after.pullN).toBe(facts.loads.peakPullN);
});

it('what is pointed at far from the surface stays where it is, and is told to be off it', async () => {
  const trial = await tried({ id: null, kind: 'drain', at: [40, 0, centre], diameter: 4 });
  expect(trial.id).toBe('drains/0');
  expect(trial.placed).toBeNull();
  expect(trial.at).toEqual([0, -20, 0]);
  expect(trial.said.map(({ code }) => code)).toEqual(['opening-off-surface']);
  expect(trial.after).toEqual(trial.before);
});

it('source coordinates are rounded to a hundredth of a mm in print or finer', () => {
  expect(sourceRounding(1)([1.23456, -0.001, 0])).toEqual([1.23, 0, 0]);
  expect(sourceRounding(3.4)([1.23456, 0, 0])).toEqual([1.235, 0, 0]);
  expect(sourceRounding(1000)([0.0123456, 0, 0])).toEqual([0.01235, 0, 0]);
  expect(sourceRounding(0.001)([1234.6, 0, 0])).toEqual([1235, 0, 0]);
});

import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { applyEdits } from '../../../src/core/kit/edits.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import { supportEdits } from '../../../src/core/kit/supportEdits.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { measurePart } from '../../../src/pipeline/measurePart.ts';
import type { StageContext } from '../../../src/pipeline/stageContext.ts';
import { tipView } from '../../../src/pipeline/tipView.ts';
import { trySupport } from '../../../src/pipeline/trySupport.ts';
import type { SupportCandidate, SupportTrial } from '../../../src/protocol/supportTrial.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { box, toStl } from '../../shapes.ts';
import { thisThread } from './thisThread.ts';

// A slab of 30 × 20 × 3 mm in print, its underside 6 mm above the plate.
const manifest = `kit: The Lamplighter
scale: { factor: 2 }
machine: { plate: [60, 60], height: 90, layer: 0.1 }
parts:
  slab:
    file: parts/slab.stl
    turn: [0, 0, 90]
    raise: 6
    wall: solid
    supports: planned    # flat, so many
`;

/** Tips of the first spacing would just tear. */
const weak = manifest
  .replace('supports: planned ', 'supports: { widest-tip: 0.4 } ')
  .concat('film: { peel: 86 }\n');

const kit = mkdtempSync(join(tmpdir(), 'kitwright-try-support-'));
beforeAll(() => {
  mkdirSync(join(kit, 'parts'));
  writeFileSync(join(kit, 'parts/slab.stl'), toStl(box([10, 15, 1.5])));
});
afterAll(() => rmSync(kit, { recursive: true, force: true }));

const requestFor = (text: string) => {
  const parsed = parseManifest(text).manifest!;
  return partRequestOf(parsed, parsed.parts[0]!, kit, false)!;
};

async function tried(candidate: SupportCandidate, text = manifest): Promise<SupportTrial> {
  const result = await trySupport({ ...requestFor(text), manifestText: text, candidate }, thisThread);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

const written = (trial: SupportTrial, text = manifest): string =>
  applyEdits(text, supportEdits(text, 'slab', trial.gestures)!);

async function supportsOf(text: string) {
  const result = await measurePart(requestFor(text), thisThread, { keepMeshes: false, hashAgain: false });
  if (!result.ok) throw new Error(result.error.message);
  return result.value.facts.supports!;
}

it('a new support is told as the check tells it once it is written', async () => {
  // As a coarse picture would have it, half a millimetre under the surface.
  const trial = await tried({ was: null, at: [5.1, 3.3, 5.5], diameter: 0.9 });
  expect(trial.gestures).toEqual([{ kind: 'place', at: [1.65, -2.55, -0.75], tip: 0.9 }]);
  expect(trial.tip).toMatchObject({ byHand: 0, widthMm: 0.9, stands: 'plate' });
  expect(trial.tip!.at.map((c) => Math.round(1e3 * c) / 1e3)).toEqual([5.1, 3.3, 6]);
  expect(trial.said).toEqual([]);
  const after = await supportsOf(written(trial));
  const own = after.supports.find(({ contact }) => contact.byHand === 0)!;
  expect(trial.tip).toEqual(tipView(own));
  expect(trial.after).toEqual({
    count: after.supports.length,
    reserve: after.worst!.reserve,
    reserveLayer: after.worst!.layer,
    unheld: 0,
  });
  const before = await supportsOf(manifest);
  expect(trial.before).toMatchObject({ count: before.supports.length, reserve: before.worst!.reserve });
});

/** What the check says of the part once a trial is written. */
async function checked(trial: SupportTrial, text: string) {
  const after = await supportsOf(written(trial, text));
  const tip = after.supports.find(
    ({ contact }) => contact.byHand !== null && same(contact.at, trial.tip!.at),
  )!;
  const figures = {
    count: after.supports.length,
    reserve: after.worst!.reserve,
    reserveLayer: after.worst!.layer,
    unheld: after.unreached.length,
  };
  return { way: [after.spacingMm, after.heldSlopeDeg], tip: tipView(tip), figures };
}
const same = (a: Vec3, b: Vec3): boolean => a.every((c, axis) => Math.abs(c - b[axis]!) < 1e-3);

/** Pulled so hard that tips nearer to each other are needed. */
const hard = manifest
  .replace('supports: planned ', 'supports: { widest-tip: 0.4 } ')
  .concat('film: { peel: 100 }\n');

it('where the plan came to a later way of holding, it is told to the bit as long as that way stands', async () => {
  const { spacingMm, heldSlopeDeg, supports } = await supportsOf(hard);
  expect(spacingMm).toBeLessThan(3);
  const [x, y] = supports.find(({ contact }) => Math.abs(contact.at[0]) < 4)!.contact.at;
  // One more beside a loaded tip; then that made wider.
  const added = await tried({ was: null, at: [x + 1, y, 6], diameter: 0.4 }, hard);
  const text = written(added, hard);
  const wider = await tried(
    { was: { at: added.tip!.at, byHand: 0 }, at: added.tip!.at, diameter: 0.7 },
    text,
  );
  for (const [trial, from] of [
    [added, hard],
    [wider, text],
  ] as const) {
    const then = await checked(trial, from);
    expect(then.way).toEqual([spacingMm, heldSlopeDeg]);
    expect([trial.tip, trial.after]).toEqual([then.tip, then.figures]);
    // An earlier way might have come to hold; that is not looked at.
    expect(trial.asPlanned).toBe(false);
  }
  expect(wider.tip!.widthMm).toBe(0.7);
  expect(wider.tip!.loadN).toBeGreaterThan(2 * added.tip!.loadN);
});

it('where the candidate lets an earlier way hold, the check comes to fewer tips, and the trial says that it may', async () => {
  const before = await supportsOf(weak);
  expect(before.spacingMm).toBeLessThan(3);
  const own = await tried({ was: null, at: [13.5, -9, 6], diameter: 0.5 }, weak);
  const then = await checked(own, weak);
  expect(then.way).toEqual([4, 30]);
  expect(own.asPlanned).toBe(false);
  expect(then.figures.count).toBeLessThan(own.after.count);
  expect(own.after.reserve).toBeGreaterThanOrEqual(1);
});

it('the first way of holding is the check’s own where it holds', async () => {
  const trial = await tried({ was: null, at: [5.1, 3.3, 6], diameter: 0.9 });
  expect(trial.asPlanned).toBe(true);
});

it('a tip that is as it was asks nothing of the plan, and writes nothing', async () => {
  const shelf = new Map<string, SharedArrayBuffer>();
  const stages: string[] = [];
  const watched: StageContext = {
    ...thisThread,
    warm: {
      take: async (name) => shelf.get(name) ?? null,
      put: (name, block) => void shelf.set(name, block),
    },
    stage: (name) => {
      stages.push(name);
      return uninterrupted;
    },
  };
  const { supports, worst } = await supportsOf(manifest);
  const { at, byHand, widthMm } = tipView(supports[7]!);
  const ask = async (diameter: number) => {
    const candidate = { was: { at, byHand }, at, diameter };
    const result = await trySupport({ ...requestFor(manifest), manifestText: manifest, candidate }, watched);
    if (!result.ok) throw new Error(result.error.message);
    return result.value;
  };
  const trial = await ask(widthMm);
  expect(stages).not.toContain('planning supports');
  expect(trial).toMatchObject({ gestures: [], asPlanned: true, tip: { at, byHand, widthMm }, said: [] });
  expect([trial.before, trial.after.reserve]).toEqual([trial.after, worst!.reserve]);
  expect((await ask(widthMm + 0.1)).gestures).toHaveLength(1);
  expect(stages).toContain('planning supports');
  // What stands still is in memory from then on.
  const kept = [...shelf.keys()];
  expect(kept.map((name) => name.split('-').slice(0, -1).join('-'))).toEqual(
    expect.arrayContaining(['opened', 'grown', 'strut-columns', 'hanging']),
  );
  await ask(widthMm + 0.2);
  expect([...shelf.keys()]).toEqual(kept);
});

it('a planned one that is moved far leaves a place that is kept free; near, the plan itself gives way', async () => {
  const before = await supportsOf(manifest);
  const planned = tipView(before.supports.find(({ contact }) => Math.abs(contact.at[0]) < 4)!);
  const [x, y] = planned.at;
  const near = await tried({ was: planned, at: [x + 1, y, 6], diameter: 0.4 });
  expect(near.gestures.map(({ kind }) => kind)).toEqual(['place']);
  const far = await tried({ was: planned, at: [x + 6, y, 6], diameter: 0.4 });
  expect(far.gestures).toMatchObject([{ kind: 'keep-free', radius: 2 }, { kind: 'place' }]);
  const after = await supportsOf(written(far));
  for (const { contact } of after.supports) {
    expect(Math.hypot(contact.at[0] - x, contact.at[1] - y)).toBeGreaterThan(1.98);
  }
});

it('far is further than the spacing that the plan came to, not than the one that was asked for', async () => {
  const before = await supportsOf(hard);
  expect(before.spacingMm).toBeLessThan(3);
  const planned = tipView(before.supports.find(({ contact }) => Math.abs(contact.at[0]) < 4)!);
  const [x, y] = planned.at;
  const trial = await tried({ was: planned, at: [x + 3.5, y, 6], diameter: 0.4 }, hard);
  expect(trial.gestures).toMatchObject([{ kind: 'keep-free', radius: 2 }, { kind: 'place' }]);
});

it('a place in the list that is another’s by now is left alone', async () => {
  const first = written(await tried({ was: null, at: [5, 3, 6], diameter: 0.5 }));
  const both = written(await tried({ was: null, at: [-5, 3, 6], diameter: 0.5 }, first), first);
  const edits = supportEdits(both, 'slab', [{ kind: 'remove', index: 0 }])!;
  for (const byHand of [0, 1]) {
    const candidate = { was: { at: [5, 3, 6] as const, byHand }, at: [6, 3, 6] as const, diameter: 0.5 };
    const text = applyEdits(both, edits);
    const result = await trySupport({ ...requestFor(text), manifestText: text, candidate }, thisThread);
    expect(!result.ok && result.error).toMatchObject({ code: 'cancelled' });
  }
});

it('one of the builder’s own is changed in its place', async () => {
  const text = written(await tried({ was: null, at: [5, 3, 6], diameter: 0.5 }));
  const was = { at: [5, 3, 6] as const, byHand: 0 };
  const trial = await tried({ was, at: [7, 3, 6], diameter: 0.8 }, text);
  expect(trial.gestures).toEqual([{ kind: 'change', index: 0, at: [1.5, -3.5, -0.75], tip: 0.8 }]);
  expect(trial.tip).toMatchObject({ byHand: 0, widthMm: 0.8 });
});

it('where nothing faces down it says so', async () => {
  const trial = await tried({ was: null, at: [0, 0, 9], diameter: 0.5 });
  expect(trial.tip).toBeNull();
  expect(trial.said.map(({ code }) => code)).toEqual(['support-idle']);
});

import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { Beside, Look, Orbit } from '../../src/protocol/look.ts';
import type { PartView, Strata } from '../../src/protocol/partView.ts';
import { cutAtPlace, cutPlaceOf } from '../../webview/turntable/cutPlace.ts';
import { createLookTeller } from '../../webview/turntable/lookTeller.ts';
import type { SavedState } from '../../webview/turntable/savedState.ts';
import { findChromium, noChromium } from '../browser.ts';
import { type Harness, launchBrowser, openTurntable, settle } from './harness.ts';
import { ballView } from './partViews.ts';

const patient = 240_000;
const changes = ['vent 0 8 → 10 mm', 'worst pull 41 → 9 N', 'resin −3 ml'];
const leading: Beside = { title: 'lantern: 1a2b3c4d (as it was)', changes, leads: true };
const trailing: Beside = { title: 'lantern: in the folder', changes, leads: false };

/** The ball in layers twice as thick. */
function coarseView(): PartView {
  const view = ballView();
  const half = (values: Float32Array): Float32Array => values.filter((_, layer) => layer % 2 === 0);
  const { strata } = view;
  const coarse: Strata = {
    ...strata,
    layerHeight: 2 * strata.layerHeight,
    layers: strata.layers / 2,
    areaMm2: half(strata.areaMm2),
    cupAreaMm2: half(strata.cupAreaMm2),
    pullN: half(strata.pullN),
    islands: [],
    cups: [],
    vatLowLayer: null,
  };
  return { ...view, flags: [], strata: coarse };
}

describe('a cut that is followed', () => {
  const fine = { layerHeight: 0.05, layers: 1300 };
  const coarse = { layerHeight: 0.1, layers: 650 };

  test('comes back as it was, in every layer', () => {
    for (let layer = 0; layer < fine.layers; layer++)
      expect(cutAtPlace(cutPlaceOf({ by: 'layer', layer }, fine), fine)).toEqual({ by: 'layer', layer });
  });

  test('is at the same height in other layers, to half of one, and within the part', () => {
    // The middle of layer 400 of 0.05 mm lies at 20.025 mm, in layer 200 of 0.1 mm.
    const place = cutPlaceOf({ by: 'layer', layer: 400 }, fine);
    expect(place).toEqual({ by: 'layer', heightMm: expect.closeTo(20.025, 9) });
    expect(cutAtPlace(place, coarse)).toEqual({ by: 'layer', layer: 200 });
    expect(cutAtPlace({ by: 'layer', heightMm: 80 }, coarse)).toEqual({ by: 'layer', layer: 649 });
    const plane = { by: 'x', normal: [1, 0, 0], offset: 4 } as const;
    expect(cutAtPlace(cutPlaceOf(plane, fine), coarse)).toEqual(plane);
    expect(cutAtPlace(cutPlaceOf({ by: 'none' }, fine), coarse)).toEqual({ by: 'none' });
  });
});

test('looks are told one after the other, and what was overtaken is left out', async () => {
  const orbit = (azimuth: number): Look => ({
    kind: 'orbit',
    orbit: { target: [0, 0, 0], distance: 9, azimuth, elevation: 0 },
  });
  const cut: Look = { kind: 'cut', cut: { by: 'none' } };
  const told: Look[] = [];
  const answers: (() => void)[] = [];
  const tell = createLookTeller((look) => {
    told.push(look);
    // The first answer is a failure, which holds up nothing.
    return new Promise((resolve, reject) => answers.push(told.length === 1 ? reject : () => resolve(null)));
  });
  for (const look of [orbit(1), orbit(2), cut, orbit(3)]) tell(look);
  expect(told).toEqual([orbit(1)]);
  for (let n = 0; n < 3; n++) {
    answers[n]?.();
    await new Promise((resolve) => setTimeout(resolve));
  }
  expect(told).toEqual([orbit(1), orbit(3), cut]);
  tell(orbit(4));
  expect(told).toHaveLength(4);
});

describe.skipIf(findChromium() === null)(`turntables side by side (skipped: ${noChromium})`, () => {
  let browser: Browser;
  let open: Harness[] = [];

  beforeAll(async () => {
    browser = await launchBrowser();
  }, patient);
  afterAll(() => browser?.close());
  afterEach(async () => {
    await Promise.all(open.map((one) => one.close()));
    open = [];
  });

  async function turntable(beside: Beside | null): Promise<Harness> {
    const made = await openTurntable(browser, { width: 620 });
    open.push(made);
    if (beside !== null) await made.call('standBeside', beside);
    return made;
  }

  async function told({ page, sent }: Harness): Promise<Look[]> {
    await settle(page);
    return (await sent()).flatMap((message) =>
      message.kind === 'request' && message.method === 'looked' ? [message.params as Look] : [],
    );
  }

  async function state({ page, savedState }: Harness): Promise<SavedState> {
    await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    return (await savedState()) as SavedState;
  }

  async function orbitOf(one: Harness): Promise<Orbit> {
    return (await state(one)).orbit!;
  }

  function expectSame(seen: Orbit, wanted: Orbit): void {
    expect(seen.distance).toBeCloseTo(wanted.distance, 6);
    expect(Math.cos(seen.azimuth - wanted.azimuth)).toBeCloseTo(1, 9);
    expect(seen.elevation).toBeCloseTo(wanted.elevation, 6);
    for (const axis of [0, 1, 2]) expect(seen.target[axis]).toBeCloseTo(wanted.target[axis]!, 6);
  }

  /** As the host does: what one has told since goes to the other. */
  function wire(from: Harness, to: Harness): () => Promise<number> {
    let passed = 0;
    return async () => {
      const looks = (await told(from)).slice(passed);
      passed += looks.length;
      for (const look of looks) await to.call('follow', look);
      return looks.length;
    };
  }

  const key = async ({ page }: Harness, name: string): Promise<void> => {
    await page.locator('.picture canvas').focus();
    await page.keyboard.press(name);
  };

  test(
    'one that stands alone tells nobody how it is looked at',
    async () => {
      const alone = await turntable(null);
      await alone.showView(ballView());
      await key(alone, 'ArrowLeft');
      expect(await told(alone)).toEqual([]);
      expect(await alone.page.locator('.changes').isVisible()).toBe(false);
    },
    patient,
  );

  test(
    'turn one and the other turns, either way, and nothing comes back',
    async () => {
      const [left, right] = [await turntable(leading), await turntable(trailing)];
      await left.showView(ballView(), false);
      await right.showView(coarseView(), false);
      const [toRight, toLeft] = [wire(left, right), wire(right, left)];
      // The first look is that of the one which leads; the other has framed the part for itself, and told nobody.
      expect(await toLeft()).toBe(0);
      expect(await toRight()).toBeGreaterThan(0);
      expectSame(await orbitOf(right), await orbitOf(left));

      const before = await orbitOf(left);
      await key(left, 'ArrowLeft');
      await key(left, '+');
      expect(await toRight()).toBeGreaterThan(0);
      expect((await orbitOf(left)).azimuth).not.toBeCloseTo(before.azimuth, 3);
      expectSame(await orbitOf(right), await orbitOf(left));
      expect(await toLeft()).toBe(0);

      const box = (await right.page.locator('.picture canvas').boundingBox())!;
      await right.page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
      await right.page.mouse.down();
      await right.page.mouse.move(box.x + box.width / 2 + 70, box.y + box.height / 2 + 30, { steps: 5 });
      await right.page.mouse.up();
      const turned = await orbitOf(right);
      expect(await toLeft()).toBeGreaterThan(0);
      expectSame(await orbitOf(left), turned);
      expect(await toRight()).toBe(0);
      expectSame(await orbitOf(right), turned);
      expect([...left.problems(), ...right.problems()]).toEqual([]);
    },
    patient,
  );

  test(
    'a cut follows at its height; one that the other part does not reach is left as it is',
    async () => {
      const [left, right] = [await turntable(leading), await turntable(trailing)];
      await left.showView(ballView(), false);
      await right.showView(coarseView(), false);
      const [toRight, toLeft] = [wire(left, right), wire(right, left)];
      await left.call('cutAtLayer', { layer: 400 });
      await toRight();
      expect((await state(right)).cut).toEqual({ by: 'layer', layer: 200 });
      expect(await toLeft()).toBe(0);
      await right.page.getByRole('slider', { name: 'Cut by layer' }).focus();
      await right.page.keyboard.press('ArrowUp');
      await toLeft();
      expect((await state(right)).cut).toEqual({ by: 'layer', layer: 201 });
      // 201.5 · 0.1 mm lies between layers 402 and 403 of 0.05 mm.
      expect([402, 403]).toContain(((await state(left)).cut as { layer: number }).layer);
      expect(await toRight()).toBe(0);

      await right.call('follow', { kind: 'cut', cut: { by: 'layer', heightMm: 400 } });
      expect((await state(right)).cut).toEqual({ by: 'layer', layer: 649 });
      await key(right, 'ArrowLeft');
      expect((await told(right)).filter(({ kind }) => kind === 'cut')).toHaveLength(1);

      await left.page.getByRole('combobox', { name: 'Cut' }).selectOption('x');
      await toRight();
      expect((await state(right)).cut).toEqual((await state(left)).cut);
      await key(left, 'Escape');
      await toRight();
      expect((await state(right)).cut).toEqual({ by: 'none' });
    },
    patient,
  );

  test(
    'one that comes late, or comes back, is looked at as the other is',
    async () => {
      const orbit: Orbit = { target: [1, 2, 30], distance: 150, azimuth: 0.3, elevation: 0.4 };
      for (const beside of [leading, trailing]) {
        const late = await turntable(beside);
        await late.call('follow', { kind: 'orbit', orbit });
        await late.call('follow', { kind: 'cut', cut: { by: 'layer', heightMm: 20.025 } });
        await late.showView(ballView(), false);
        expectSame(await orbitOf(late), orbit);
        expect((await state(late)).cut).toEqual({ by: 'layer', layer: 400 });
        expect(await told(late)).toEqual([]);
        // The same part anew, as after an edit: nothing moves.
        await late.showView({ ...ballView([]) }, false);
        expectSame(await orbitOf(late), orbit);
        expect((await state(late)).cut).toEqual({ by: 'layer', layer: 400 });
      }
    },
    patient,
  );

  test(
    'is named by part and revision, tells what changed, and is only looked at',
    async () => {
      const left = await turntable(leading);
      await left.showView(ballView(), false);
      const { page } = left;
      expect(await page.locator('h1').textContent()).toBe('lantern: 1a2b3c4d (as it was)');
      expect(await page.locator('canvas').first().getAttribute('aria-label')).toMatch(/^lantern: 1a2b3c4d/);
      const list = page.getByRole('list', { name: 'Changes in the ledger' });
      expect(await list.getByRole('listitem').allTextContents()).toEqual(changes);
      for (const name of ['Edit by hand', 'Make ready'])
        expect(await page.getByRole('button', { name }).count()).toBe(0);
      expect(await page.getByText(/^Vent 0: 10 mm wide/).evaluate((line) => line.tagName)).toBe('LI');
      await key(left, 'e');
      expect(await page.locator('canvas').first().getAttribute('role')).toBe('img');
    },
    patient,
  );
});

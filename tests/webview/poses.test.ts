import { mkdirSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { uninterrupted } from '../../src/core/interrupter.ts';
import { drawPicture } from '../../src/core/picture/drawPicture.ts';
import { tones } from '../../src/core/picture/tones.ts';
import type { PoseReport } from '../../src/core/pose/poseReport.ts';
import { pngOf } from '../../src/pipeline/pngOf.ts';
import type { PoseChoice } from '../../src/protocol/poseChoice.ts';
import { findChromium, noChromium } from '../browser.ts';
import * as shapes from '../shapes.ts';
import { type Harness, launchBrowser, openTurntable } from './harness.ts';
import { ballView } from './partViews.ts';
import type { ThemeName } from './themes.ts';

const shots = '.cache/webview-shots';
const patient = 240_000;

const body = shapes.join(
  shapes.transformed(shapes.cylinder(9, 40, 48), { shift: [0, 0, 4] }),
  shapes.transformed(shapes.icosphere(12, 4), { shift: [0, 0, 30] }),
);
const pictureAt = (turn: readonly [number, number, number]): string =>
  Buffer.from(
    pngOf(
      drawPicture(
        [{ mesh: shapes.transformed(body, { turn: [...turn] }), tone: tones.part }],
        256,
        70,
        uninterrupted,
      ),
    ),
  ).toString('base64');

const report = (turn: readonly [number, number, number], change: Partial<PoseReport> = {}): PoseReport => ({
  turn,
  fits: true,
  fits_held: true,
  size_mm: [40, 50, 60],
  held_mm: [52, 61],
  raise_mm: 3.2,
  height_mm: 63.2,
  hours: 5.25,
  islands: 3,
  overhang_mm2: 410,
  show_overhang_mm2: 0,
  peak_pull_n: 12,
  pull_jump_n: 3,
  cups: 2,
  floor_mm2: 55,
  openings_away_mm: 4,
  ...change,
});

const turns = [
  [50, 27, 0],
  [0, 90, 0],
  [-35, 10, 90],
] as const;
const whys = ['best by your weights', 'lowest, so quickest', 'fewest regions that start in mid-air'];
const choice: PoseChoice = {
  part: 'ball',
  taken: null,
  pictures: [[0, 0, 0] as const, ...turns].map(pictureAt),
  report: {
    now: report([0, 0, 0], { fits_held: false, hours: 9 }),
    poses: turns.map((turn, n) => ({ ...report(turn, { hours: 5 + n }), why: whys[n]! })),
    largest_factor: 4,
    short_axis: 'z',
    compared: 580,
    support_room: { raise_mm: 3.2, reach_mm: 8.55 },
    supports_planned: true,
  },
};

describe.skipIf(findChromium() === null)(`poses on the turntable (skipped: ${noChromium})`, () => {
  let browser: Browser;
  let turntable: Harness;

  beforeAll(async () => {
    mkdirSync(shots, { recursive: true });
    browser = await launchBrowser();
    turntable = await openTurntable(browser, { height: 900 });
    await turntable.showView({ ...ballView(), part: 'ball' });
    await turntable.call('showPoses', { choice, focus: true });
  }, patient);

  afterAll(() => browser?.close());

  const strip = () => turntable.page.getByRole('region', { name: 'Proposed poses' });
  const poses = () => strip().getByRole('button', { name: /^Pose / });
  const focused = () =>
    turntable.page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? '');
  const pressed = () => poses().evaluateAll((all) => all.map((one) => one.getAttribute('aria-pressed')));
  const calls = async (method: string): Promise<unknown[]> =>
    (await turntable.sent()).flatMap((message) =>
      message.kind === 'request' && message.method === method ? [message.params] : [],
    );

  test('shows a picture of each, the first in focus, and the part as it was beside them', async () => {
    expect(await poses().count()).toBe(3);
    expect(await focused()).toMatch(/^Pose 1, best by your weights: turn 50, 27, 0; 63 mm high, 5.0 hours/);
    const images = await strip()
      .locator('img')
      .evaluateAll((all) =>
        all.map((one) => [(one as HTMLImageElement).naturalWidth, one.getAttribute('alt')]),
      );
    expect(images).toEqual([1, 2, 3, 4].map(() => [256, '']));
    expect(await strip().textContent()).toContain('Poses for ball: choose one of 3, out of 580 compared');
    expect(await strip().locator('.now').textContent()).toContain('no room for its supports');
    expect(turntable.problems()).toEqual([]);
  });

  test('arrow keys go from pose to pose; Enter takes the one in focus, and what it did is said', async () => {
    await turntable.answer('takePose', { value: { said: 'Pose 2 of ball is in kit.yaml now.' } });
    await turntable.page.keyboard.press('ArrowRight');
    expect(await focused()).toMatch(/^Pose 2, /);
    await turntable.page.keyboard.press('End');
    expect(await focused()).toMatch(/^Pose 3, /);
    await turntable.page.keyboard.press('ArrowRight');
    expect(await focused()).toMatch(/^Pose 3, /);
    await turntable.page.keyboard.press('Home');
    await turntable.page.keyboard.press('ArrowRight');
    await turntable.page.keyboard.press('Enter');
    expect(await calls('takePose')).toEqual([{ part: 'ball', number: 2 }]);
    await expect
      .poll(() => turntable.page.locator('.status').textContent())
      .toBe('Pose 2 of ball is in kit.yaml now.');
  });

  test('the pose that stands in the manifest is marked, and the focus stays where it is', async () => {
    await turntable.call('showPoses', { choice: { ...choice, taken: 2 }, focus: false });
    expect(await pressed()).toEqual(['false', 'true', 'false']);
    expect(await focused()).toMatch(/^Pose 2, /);
    await turntable.call('showPoses', { choice: { ...choice, taken: null }, focus: false });
    expect(await pressed()).toEqual(['false', 'false', 'false']);
  });

  test('a pose that cannot be written says why', async () => {
    await turntable.answer('takePose', { error: 'ball is no longer in kit.yaml.' });
    await poses().nth(2).click();
    await expect
      .poll(() => turntable.page.locator('.status').textContent())
      .toContain('ball is no longer in kit.yaml.');
  });

  test('all figures stand in a table, a column for each pose', async () => {
    await strip().getByText('Figures of the poses', { exact: true }).first().click();
    const cells = await strip()
      .locator('tr')
      .evaluateAll((all) => all.map((line) => [...line.children].map((cell) => cell.textContent)));
    expect(cells[0]).toEqual(['', 'As it was', 'Pose 1', 'Pose 2', 'Pose 3']);
    expect(cells.find(([label]) => label === 'Hours')).toEqual(['Hours', '9.0', '5.0', '6.0', '7.0']);
    expect(cells.find(([label]) => label === 'Turn, °')!.slice(2)).toEqual([
      '50, 27, 0',
      '0, 90, 0',
      '-35, 10, 90',
    ]);
    expect(cells.find(([label]) => label === 'On the plate with feet, mm')![2]).toBe('52 × 61');
    await turntable.page.screenshot({ path: `${shots}/poses-table.png` });
    await strip().getByText('Figures of the poses', { exact: true }).first().click();
  });

  test.each<ThemeName>(['dark', 'light', 'contrast', 'contrastLight'])(
    'in the theme %s',
    async (theme) => {
      await turntable.setTheme(theme);
      await turntable.call('showPoses', { choice: { ...choice, taken: 1 }, focus: true });
      await turntable.page.screenshot({ path: `${shots}/poses-${theme}.png` });
      // The colours of cards are the theme's: the page's own text, and a frame that shows on its ground.
      const [card, page] = await turntable.page.evaluate(() => {
        const of = (query: string) => getComputedStyle(document.querySelector(query)!);
        return [of('.pose.now').color, of('body').color];
      });
      expect(card).toBe(page);
    },
    patient,
  );

  test('on a narrow page the strip scrolls by itself, and the page does not', async () => {
    await turntable.page.setViewportSize({ width: 380, height: 800 });
    const [strips, pages] = await turntable.page.evaluate(() => {
      const cards = document.querySelector('.pose-cards')!;
      const root = document.documentElement;
      return [cards.scrollWidth > cards.clientWidth, root.scrollWidth <= root.clientWidth];
    });
    await turntable.page.screenshot({ path: `${shots}/poses-narrow.png` });
    expect([strips, pages]).toEqual([true, true]);
  });

  test('Escape closes them, as the button does; the picture gets the focus', async () => {
    await poses().first().focus();
    await turntable.page.keyboard.press('Escape');
    expect(await calls('closePoses')).toEqual([null]);
    expect(await turntable.page.evaluate(() => document.activeElement?.tagName)).toBe('CANVAS');
    await turntable.call('showPoses', { choice: null, focus: false });
    expect(await strip().count()).toBe(0);
    await turntable.call('showPoses', { choice, focus: false });
    await strip().getByRole('button', { name: 'Close', exact: true }).click();
    expect(await calls('closePoses')).toEqual([null, null]);
    expect(turntable.problems()).toEqual([]);
  });
});

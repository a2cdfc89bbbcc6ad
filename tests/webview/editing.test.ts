import { mkdirSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { OpeningCandidate, OpeningTrial } from '../../src/protocol/openingTrial.ts';
import type { TipView } from '../../src/protocol/partView.ts';
import type { RpcMessage } from '../../src/protocol/rpc.ts';
import type { SupportCandidate, SupportTrial } from '../../src/protocol/supportTrial.ts';
import type { SavedState } from '../../webview/turntable/savedState.ts';
import { findChromium, noChromium } from '../browser.ts';
import { type Harness, launchBrowser, openTurntable, settle } from './harness.ts';
import { ball, ballView, equatorVent } from './partViews.ts';
import { countPixels, type Picture, type PixelReader, pixelReader } from './pixels.ts';

const shots = '.cache/webview-shots';
const patient = 240_000;

const trial: OpeningTrial = {
  id: 'vents/1',
  at: [1, 2, 3],
  placed: null,
  before: { breathesLayer: null, sealedCups: 1, suctionN: 120.4, pullN: 150, trappedMl: 3 },
  after: { breathesLayer: 152, sealedCups: 0, suctionN: 3.24, pullN: 150, trappedMl: 0.4 },
  said: [{ code: 'opening-near-wall', severity: 'warning', message: 'It runs close to a side wall.' }],
};

const supportTrial: SupportTrial = {
  gestures: [],
  tip: { at: [0, 0, 4], widthMm: 0.6, loadN: 1.3, loadLayer: 40, stands: 'part', byHand: 0 },
  before: { count: 40, reserve: 0.9, reserveLayer: 12, unheld: 0 },
  after: { count: 41, reserve: 1.3, reserveLayer: 40, unheld: 0 },
  asPlanned: false,
  said: [{ code: 'tip-on-show-side', severity: 'warning', message: 'The show side is marked.' }],
};

interface AskedSupport {
  readonly part: string;
  readonly candidate: SupportCandidate;
}

interface Asked {
  readonly part: string;
  readonly candidate: OpeningCandidate;
}

describe.skipIf(findChromium() === null)(`editing openings (skipped: ${noChromium})`, () => {
  let browser: Browser;
  let turntable: Harness;
  let pixels: PixelReader;
  beforeAll(async () => {
    mkdirSync(shots, { recursive: true });
    browser = await launchBrowser();
    pixels = await pixelReader(browser);
  }, patient);
  afterAll(() => browser?.close());

  beforeEach(async () => {
    turntable = await openTurntable(browser);
    await turntable.showView(ballView());
    await turntable.answer('tryOpening', { value: trial });
    await turntable.answer('putOpening', { value: { said: 'Vent 1 placed in kit.yaml.' } });
    await turntable.answer('removeOpening', { value: { said: 'Vent 0 removed from kit.yaml.' } });
    await turntable.answer('markShow', { value: { said: 'Marked.' } });
    await turntable.answer('putLength', { value: { said: 'Measured.' } });
    await button('Flags').click();
    // The vent at the equator looks at +x; from the front it is seen from the side.
    await turntable.page.locator('.picture canvas').focus();
  }, patient);
  afterEach(async () => {
    expect(turntable.problems()).toEqual([]);
    await turntable.close();
  }, patient);

  const button = (name: string) => turntable.page.getByRole('button', { name, exact: true });
  const status = () => turntable.page.locator('.status').textContent();
  const label = () => turntable.page.locator('.trial p').allTextContents();
  const press = async (...keys: string[]) => {
    for (const key of keys) await turntable.page.keyboard.press(key);
    await settle(turntable.page);
  };

  async function calls<P>(method: string): Promise<P[]> {
    const requests = (await turntable.sent()).filter(
      (message): message is Extract<RpcMessage, { kind: 'request' }> => message.kind === 'request',
    );
    return requests.filter((request) => request.method === method).map(({ params }) => params as P);
  }

  /** The show side is all there is of purple: green falls well behind red and blue. */
  const isPurple = (r: number, g: number, b: number): boolean => r - g > 25 && b - g > 25;

  async function picture(): Promise<Picture> {
    await settle(turntable.page);
    return pixels.read(await turntable.page.locator('.picture').screenshot());
  }

  async function state(): Promise<SavedState> {
    await turntable.page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    return (await turntable.savedState()) as SavedState;
  }

  async function middle(): Promise<{ x: number; y: number }> {
    const box = (await turntable.page.locator('.picture').boundingBox())!;
    return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
  }

  /** Distance from the ball's skin, mm: the drawn one lies inside the true one by its facets' sagitta. */
  const offSkin = ([x, y, z]: readonly [number, number, number]): number =>
    Math.hypot(x - ball.centre[0], y - ball.centre[1], z - ball.centre[2]) - ball.radius;

  test(
    'a click on the surface asks for a vent there and writes it once; turning the part places nothing',
    async () => {
      await button('Edit by hand').click();
      expect(await button('Edit by hand').getAttribute('aria-pressed')).toBe('true');
      expect(await status()).toContain('Editing.');
      const { x, y } = await middle();
      const { mouse } = turntable.page;
      await mouse.move(x + 40, y + 30);
      await mouse.down();
      await mouse.move(x + 90, y + 30, { steps: 4 });
      await mouse.up();
      expect(await calls('putOpening')).toEqual([]);
      await mouse.move(x, y);
      await turntable.page.waitForFunction(() =>
        document.querySelector('.trial')?.textContent?.includes('suction'),
      );
      expect(await label()).toEqual([
        'New vent, 6 mm',
        'breathes from layer 152, now never',
        'suction 3.2 N, now 120 N',
        'worst pull 150 N',
        'left inside 0.4 ml, now 3 ml',
        'Warning: It runs close to a side wall.',
      ]);
      await mouse.down();
      await mouse.up();
      const [put, ...more] = await calls<Asked>('putOpening');
      expect(more).toEqual([]);
      expect(put!.part).toBe('lantern');
      expect(put!.candidate).toMatchObject({ id: null, kind: 'vent', diameter: 6 });
      expect(Math.abs(offSkin(put!.candidate.at))).toBeLessThan(0.1);
      await turntable.page.waitForFunction(
        () => document.querySelector('.status')?.textContent === 'Vent 1 placed in kit.yaml.',
      );
    },
    patient,
  );

  /** The camera on the vent's own side, so that its mouth is seen as a disc in the middle. */
  async function lookAtVent(): Promise<void> {
    await turntable.call('revealFlag', { number: 7 });
    await press('Escape');
    await press('e');
    await press('Tab');
  }

  test(
    'a mouth is dragged along the surface and written once, where it was let go',
    async () => {
      await lookAtVent();
      const rim = (await turntable.page.locator('.edit-marks .rim.held').boundingBox())!;
      const [x, y] = [rim.x + rim.width / 2, rim.y + rim.height / 2];
      const before = (await calls('tryOpening')).length;
      const { mouse } = turntable.page;
      await mouse.move(x, y);
      await mouse.down();
      await mouse.move(x, y + rim.height, { steps: 6 });
      expect(await calls('putOpening')).toEqual([]);
      await mouse.up();
      await settle(turntable.page);
      const [put, ...more] = await calls<Asked>('putOpening');
      expect(more).toEqual([]);
      expect(put!.candidate).toMatchObject({ id: 'vents/0', kind: 'vent', diameter: 10 });
      expect(Math.abs(offSkin(put!.candidate.at))).toBeLessThan(0.1);
      // Down in the picture, by about its own height.
      expect(put!.candidate.at[2]).toBeLessThan(equatorVent.mouth[2] - 5);
      const asked = await calls<Asked>('tryOpening');
      expect(asked.length).toBeGreaterThan(before);
      expect(asked.at(-1)!.candidate).toEqual(put!.candidate);
    },
    patient,
  );

  test(
    'its rim is dragged to another size, in half millimetres; Escape lets go without a trace',
    async () => {
      await lookAtVent();
      const grip = (await turntable.page.locator('.edit-marks .grip').boundingBox())!;
      const rim = (await turntable.page.locator('.edit-marks .rim.held').boundingBox())!;
      const [x, y] = [grip.x + grip.width / 2, grip.y + grip.height / 2];
      const { mouse } = turntable.page;
      await mouse.move(x, y);
      await mouse.down();
      await mouse.move(x + rim.width / 2, y, { steps: 5 });
      await mouse.up();
      await settle(turntable.page);
      const [put] = await calls<Asked>('putOpening');
      expect(put!.candidate.at).toEqual(equatorVent.mouth);
      expect(put!.candidate.diameter).toBeGreaterThan(17);
      expect(put!.candidate.diameter).toBeLessThan(24);
      expect((2 * put!.candidate.diameter) % 1).toBe(0);

      await mouse.move(x, y);
      await mouse.down();
      await mouse.move(x - 10, y + 4, { steps: 3 });
      await turntable.page.keyboard.press('Escape');
      await mouse.up();
      expect(await calls('putOpening')).toHaveLength(1);
    },
    patient,
  );

  test(
    'everything works by keys, and is said',
    async () => {
      await press('e');
      expect(await turntable.page.locator('.picture canvas').getAttribute('role')).toBe('application');
      await press('d', 'ArrowRight', 'ArrowRight', 'ArrowDown');
      await press(']', ']', '[', '}');
      await turntable.page.waitForFunction(() =>
        document.querySelector('.status')?.textContent?.includes('6.6 mm'),
      );
      await press('Enter');
      const [put] = await calls<Asked>('putOpening');
      expect(put!.candidate).toMatchObject({ id: null, kind: 'drain', diameter: 6.6 });
      expect(Math.abs(offSkin(put!.candidate.at))).toBeLessThan(0.1);
      expect(await status()).toBe('Vent 1 placed in kit.yaml.');
      await turntable.page.waitForFunction(
        () => document.querySelector('[role=status]')?.textContent === 'Vent 1 placed in kit.yaml.',
      );

      await press('Escape', 'Tab');
      await turntable.page.waitForFunction(() =>
        document.querySelector('.status')?.textContent?.startsWith('Vent 0'),
      );
      await press('Enter');
      expect(await status()).toBe('Nothing has changed.');
      // Once is enough: by the second press the list's first would be another.
      await press('Delete', 'Delete');
      expect(await calls('removeOpening')).toEqual([{ part: 'lantern', id: 'vents/0' }]);
      await press('Tab', 'ArrowUp');
      await press('Escape');
      expect(await status()).toBe('Back to where it was.');
      await press('Escape', 'Escape');
      expect(await status()).toBe('Editing ended.');
      expect(await calls('putOpening')).toHaveLength(1);
      expect(await button('Edit by hand').getAttribute('aria-pressed')).toBe('false');
    },
    patient,
  );

  test(
    'supports are placed, moved, resized and removed as openings are, from below alone',
    async () => {
      const { centre, radius } = ball;
      const tip = (x: number, byHand: number | null): TipView => ({
        at: [x, centre[1], centre[2] - Math.sqrt(radius ** 2 - (x - centre[0]) ** 2)],
        widthMm: 0.4,
        loadN: 1.2,
        loadLayer: 30,
        stands: 'plate',
        byHand,
      });
      const tips = [tip(centre[0], null), tip(centre[0] + 5, 0)];
      await turntable.showView({ ...ballView(), tips });
      await turntable.answer('trySupport', { value: supportTrial });
      await turntable.answer('putSupport', { value: { said: 'Support placed in kit.yaml.' } });
      await turntable.answer('removeSupport', { value: { said: 'Support removed from kit.yaml.' } });
      await turntable.page.locator('.picture canvas').focus();
      await press('e', 'h', 'Tab');
      expect(await calls<AskedSupport>('trySupport')).toEqual([
        {
          part: 'lantern',
          candidate: { was: { at: tips[0]!.at, byHand: null }, at: tips[0]!.at, diameter: 0.4 },
        },
      ]);
      expect(await label()).toEqual([
        'Planned support, 0.4 mm',
        'bears 1.3 N in layer 40',
        'tip 0.6 mm wide, stands on the part',
        'supports 41, now 40',
        'the weakest takes 1.3 times its load (layer 40), now 0.9 times its load (layer 12)',
        'starts unheld 0',
        'figures with the spacing of now: the check may come to another',
        'Warning: The show side is marked.',
      ]);
      await press(']', '}', 'ArrowRight', 'Enter');
      const [put] = await calls<AskedSupport>('putSupport');
      expect(put!.candidate).toMatchObject({ was: { byHand: null }, diameter: 0.55 });
      expect(Math.abs(offSkin(put!.candidate.at))).toBeLessThan(0.1);
      await press('Delete', 'Delete');
      await press('Tab', 'Tab', 'Delete');
      expect((await calls<{ was: object }>('removeSupport')).map(({ was }) => was)).toEqual([
        { at: tips[0]!.at, byHand: null },
        { at: tips[1]!.at, byHand: 0 },
      ]);

      // One in hand is found again in a new plan, which may number it anew, where it stood.
      await turntable.showView({ ...ballView(), tips });
      await press('Tab', ...Array.from({ length: 4 }, () => 'ArrowRight'));
      await turntable.showView({ ...ballView(), tips: tips.toReversed() });
      await press('Enter');
      expect(await status()).toBe('Nothing has changed.');
      expect((await label())[0]).toBe('Support 0, 0.4 mm');

      // From below a click places one; the top of the ball takes none.
      const { x, y } = await middle();
      const { mouse } = turntable.page;
      await press('Escape');
      await mouse.click(x, y - 60);
      const placed = (await calls<AskedSupport>('putSupport')).at(-1)!.candidate;
      expect(placed).toMatchObject({ was: null, diameter: 0.4 });
      expect(placed.at[2]).toBeLessThan(centre[2]);
      await turntable.call('revealFlag', { number: 7 });
      await press('Escape', 'ArrowUp');
      expect(await status()).toContain('from below');
      expect(await calls('putSupport')).toHaveLength(2);
    },
    patient,
  );

  test(
    'rims of what is not in hand are drawn into the picture, once for each edit; dashed where they face away',
    async () => {
      // Seen from the front, in the middle: nothing there is lighter than the ball but the rim.
      const rim = async (facing: 1 | -1) => {
        const mouth = [0, -ball.radius, ball.centre[2]] as const;
        await turntable.showView(ballView([]));
        const bare = await picture();
        await turntable.showView(ballView([{ ...equatorVent, mouth, axis: [0, facing, 0] }]));
        const seen = await picture();
        return countPixels(seen, (r, g, b, x, y) => {
          const i = 4 * (y * seen.width + x);
          const was = Math.max(bare.data[i]!, bare.data[i + 1]!, bare.data[i + 2]!);
          const away = Math.hypot(x - seen.width / 2, y - seen.height / 2);
          return away < seen.height / 5 && Math.min(r, g, b) > was + 20;
        });
      };
      await button('Front').click();
      await turntable.page.locator('.picture canvas').focus();
      await press('e');
      const whole = await rim(1);
      await turntable.showView(ballView([]));
      const dashed = await rim(-1);
      expect(whole).toBeGreaterThan(60);
      expect(dashed / whole).toBeGreaterThan(0.3);
      expect(dashed / whole).toBeLessThan(0.75);
      expect(await turntable.page.locator('.edit-marks *').count()).toBe(0);
    },
    patient,
  );

  test(
    'a step of the keys is one millimetre along the surface, a fifth with Shift',
    async () => {
      await press('e', 'ArrowRight');
      const tried = async () => (await calls<Asked>('tryOpening')).at(-1)!.candidate.at;
      const apart = (a: readonly number[], b: readonly number[]) => Math.hypot(...a.map((v, i) => v - b[i]!));
      const first = await tried();
      await press('ArrowRight');
      const second = await tried();
      expect(apart(first, second)).toBeGreaterThan(0.9);
      expect(apart(first, second)).toBeLessThan(1.1);
      await press('Shift+ArrowUp');
      const third = await tried();
      expect(apart(second, third)).toBeGreaterThan(0.15);
      expect(apart(second, third)).toBeLessThan(0.25);
    },
    patient,
  );

  test(
    'an edit that is refused puts the mouth back and says why',
    async () => {
      await turntable.answer('putOpening', { error: 'kit.yaml changed meanwhile.' });
      await press('e', 'Tab', ']', 'Enter');
      await turntable.page.waitForFunction(
        () => document.querySelector('.status')?.textContent === 'kit.yaml changed meanwhile.',
      );
      expect(await label()).toContain('Vent 0, 10 mm');
    },
    patient,
  );

  test(
    'an outline of the show side is drawn by clicks and by keys, with its facing',
    async () => {
      await press('e', 's');
      const { x, y } = await middle();
      const { mouse } = turntable.page;
      for (const [dx, dy] of [
        [-40, -30],
        [40, -30],
        [40, 30],
        [-40, 30],
        [-40, -30],
      ] as const) {
        await mouse.click(x + dx, y + dy);
      }
      await settle(turntable.page);
      const [marked] = await calls<{
        readonly outline: readonly (readonly [number, number, number])[];
        readonly facing: readonly [number, number, number];
      }>('markShow');
      expect(marked!.outline).toHaveLength(4);
      for (const point of marked!.outline) expect(Math.abs(offSkin(point))).toBeLessThan(0.1);
      expect(Math.hypot(...marked!.facing)).toBeCloseTo(1, 9);
      // From the corner of the picture's first look: azimuth −60°, elevation 20°.
      expect(marked!.facing[0]).toBeGreaterThan(0.3);
      expect(marked!.facing[1]).toBeLessThan(-0.6);

      await press('ArrowLeft', 'Space', 'ArrowUp', 'Space', 'Enter');
      expect(await status()).toBe('An outline needs at least three points.');
      await press('Shift+ArrowRight', 'Space', 'Enter');
      expect(await calls('markShow')).toHaveLength(2);
    },
    patient,
  );

  test(
    'a length is measured by two clicks, or by keys, and what it is typed beside it',
    async () => {
      interface Measured {
        readonly part: string;
        readonly ends: readonly (readonly [number, number, number])[];
        readonly length: { readonly mm: number; readonly where: string };
      }
      await press('e', 'm');
      const line = turntable.page.locator('.edit-line');
      expect(await line.locator('select').first().inputValue()).toBe('length');
      const { x, y } = await middle();
      const { mouse, keyboard } = turntable.page;
      await mouse.click(x - 30, y);
      expect(await status()).toBe('One end of a length.');
      await mouse.click(x + 30, y);
      await settle(turntable.page);
      expect(await status()).toMatch(/^Two ends, [\d.]+ mm apart in print\./);
      // The cursor stands where the length is typed.
      await keyboard.type('68.5');
      await press('Enter');
      const [measured] = await calls<Measured>('putLength');
      expect(measured).toMatchObject({ part: 'lantern', length: { mm: 68.5, where: 'subject' } });
      const [a, b] = measured!.ends;
      for (const end of [a!, b!]) expect(Math.abs(offSkin(end))).toBeLessThan(0.1);
      const apart = Math.hypot(a![0] - b![0], a![1] - b![1], a![2] - b![2]);
      expect(apart).toBeGreaterThan(5);
      expect(await status()).toBe('Measured.');

      // By keys alone: the picture has the focus again.
      await press('ArrowLeft', 'Space', 'ArrowUp', 'ArrowUp', 'ArrowUp', 'Space');
      await line.getByRole('combobox', { name: 'Where it is so long' }).selectOption('print');
      await line.getByRole('spinbutton', { name: 'The length in mm' }).fill('12');
      await line.getByRole('spinbutton', { name: 'The length in mm' }).press('Enter');
      await settle(turntable.page);
      const all = await calls<Measured>('putLength');
      expect(all).toHaveLength(2);
      expect(all[1]!.length).toEqual({ mm: 12, where: 'print' });
      // Three steps of a millimetre along a ball.
      const [c, d] = all[1]!.ends;
      expect(Math.hypot(c![0] - d![0], c![1] - d![1], c![2] - d![2])).toBeCloseTo(3, 1);
      // With one end, or none, nothing is asked.
      await line.getByRole('spinbutton', { name: 'The length in mm' }).press('Enter');
      await settle(turntable.page);
      expect(await status()).toBe('A length has two ends: click both first.');
      expect(await calls('putLength')).toHaveLength(2);
    },
    patient,
  );

  test(
    'the show side is hatched inside its outline and nowhere else',
    async () => {
      // A circle of 15 mm round the point that looks at the front.
      const reach = 15;
      const round = Array.from({ length: 40 }, (_, i): readonly [number, number, number] => {
        const angle = (2 * Math.PI * i) / 40;
        const depth = Math.sqrt(ball.radius ** 2 - reach ** 2);
        return [reach * Math.cos(angle), -depth, ball.centre[2] + reach * Math.sin(angle)];
      });
      await turntable.showView({ ...ballView([]), show: [{ outline: round, facing: [0, -1, 0] }] });
      await button('Front').click();
      const seen = await picture();
      const { orbit } = await state();
      const mmPerPixel =
        (2 *
          (orbit!.distance - Math.sqrt(ball.radius ** 2 - reach ** 2)) *
          Math.tan((17.5 * Math.PI) / 180)) /
        seen.height;
      const [middleX, middleY] = [seen.width / 2, seen.height / 2];
      const away = (x: number, y: number) => Math.hypot(x + 0.5 - middleX, y + 0.5 - middleY) * mmPerPixel;
      const within = countPixels(seen, (r, g, b, x, y) => isPurple(r, g, b) && away(x, y) < 1.02 * reach);
      const beyond = countPixels(seen, (r, g, b, x, y) => isPurple(r, g, b) && away(x, y) >= 1.02 * reach);
      const rim = countPixels(
        seen,
        (r, g, b, x, y) => isPurple(r, g, b) && Math.abs(away(x, y) - reach) < 2.5 * mmPerPixel,
      );
      const disc = (Math.PI * reach ** 2) / mmPerPixel ** 2;
      // Hatched, not filled: a third of it or so; the line along the outline is whole.
      expect(within / disc).toBeGreaterThan(0.25);
      expect(within / disc).toBeLessThan(0.75);
      expect(rim).toBeGreaterThan((2 * Math.PI * reach) / mmPerPixel);
      expect(beyond).toBe(0);
      for (const theme of ['dark', 'light', 'contrast', 'contrastLight'] as const) {
        await turntable.setTheme(theme);
        await turntable.page.screenshot({ path: `${shots}/show-side-${theme}.png` });
      }
      await turntable.setTheme('dark');
      await turntable.showView({ ...ballView([]), show: [{ outline: round, facing: [0, 1, 0] }] });
      expect(countPixels(await picture(), isPurple)).toBe(0);
    },
    patient,
  );

  test(
    'it looks right in every theme; a part without a manifest cannot be edited',
    async () => {
      await lookAtVent();
      await press(']');
      for (const theme of ['dark', 'light', 'contrast'] as const) {
        await turntable.setTheme(theme);
        await settle(turntable.page);
        await turntable.page.waitForFunction(() =>
          document.querySelector('.trial')?.textContent?.includes('suction'),
        );
        await turntable.page.screenshot({ path: `${shots}/editing-${theme}.png` });
      }
      await turntable.showView(ballView(), false);
      expect(await turntable.page.locator('.edit-line').isVisible()).toBe(false);
      expect(await button('Edit by hand').isVisible()).toBe(false);
      await turntable.page.locator('.picture canvas').focus();
      await press('e');
      expect(await turntable.page.locator('.edit-line').isVisible()).toBe(false);
    },
    patient,
  );
});

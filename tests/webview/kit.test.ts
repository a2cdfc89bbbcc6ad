import { mkdirSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { kitTotals, type PartFigures } from '../../src/core/kit/kitTotals.ts';
import type { KitPageMethods, KitPart, KitPicture } from '../../src/protocol/kitMessages.ts';
import type { SavedKitState } from '../../webview/kit/savedState.ts';
import { findChromium, noChromium } from '../browser.ts';
import { box, transformed } from '../shapes.ts';
import { launchBrowser, openPage, type PageHarness, settle } from './harness.ts';
import { surfaceOf, surfacePieces } from './partViews.ts';
import { countPixels, type Picture, type PixelReader, pixelReader } from './pixels.ts';

const shots = '.cache/webview-shots';
const patient = 240_000;

const figures = (liquidMl: number, cost: number | null): PartFigures => ({
  sizeMm: [20, 20, 20],
  liquidMl,
  massG: 1.1 * liquidMl,
  hours: 2,
  cost,
});

const part = (name: string, x: number, more: Partial<KitPart>): KitPart => ({
  name,
  key: surfaceOf(`kit ${name}`, transformed(box(20), { shift: [x, 0, 0] })),
  problem: null,
  state: 'ready',
  words: 'ready',
  resin: 'slate',
  copies: 1,
  figures: figures(8, 0.3),
  ...more,
});

/** Three cubes of 20 mm in a row, and two that cannot be drawn (yet). */
const parts: readonly KitPart[] = [
  part('left arm', -40, { state: 'errors', words: '2 errors', copies: 2 }),
  part('torso', 0, {}),
  part('right arm', 40, {
    state: 'decision',
    words: 'needs a decision: how it is held',
    resin: 'granite',
    figures: figures(10, null),
  }),
  {
    ...part('lamp-post', 0, { state: 'errors', words: '1 error', figures: null }),
    key: null,
    problem: 'parts/lamp-post.stl is not there.',
  },
  {
    ...part('satchel', 0, { state: 'unchecked', words: 'not checked', resin: null, figures: null }),
    key: null,
  },
];
const kit: KitPicture = { name: 'The Lamplighter', parts, totals: kitTotals(parts) };

describe.skipIf(findChromium() === null)(`the page of the whole kit (skipped: ${noChromium})`, () => {
  let browser: Browser;
  let pixels: PixelReader;
  let harness: PageHarness<KitPageMethods>;

  beforeAll(async () => {
    mkdirSync(shots, { recursive: true });
    browser = await launchBrowser();
    pixels = await pixelReader(browser);
    harness = await openKit();
  }, patient);

  afterAll(() => browser?.close());

  async function openKit(
    options: Parameters<typeof openPage>[2] = {},
    shown: KitPicture = kit,
  ): Promise<PageHarness<KitPageMethods>> {
    const opened = await openPage<KitPageMethods>(browser, 'kit', options);
    await opened.call('show', { kind: 'kit', kit: shown });
    for (const { key } of shown.parts)
      for (const piece of surfacePieces(key)) await opened.call('surface', piece);
    return opened;
  }

  const button = (name: string) => harness.page.getByRole('button', { name, exact: true });

  async function picture(): Promise<Picture> {
    await settle(harness.page);
    return pixels.read(await harness.page.locator('.picture').screenshot());
  }

  async function state(): Promise<SavedKitState> {
    await harness.page.waitForTimeout(300);
    return (await harness.savedState()) as SavedKitState;
  }

  async function asked(method: string): Promise<unknown[]> {
    return (await harness.sent()).flatMap((message) =>
      message.kind === 'request' && message.method === method ? [message.params] : [],
    );
  }

  /** Where the middle of a name stands, CSS pixels from the picture's middle. */
  async function nameAt(name: string): Promise<{ x: number; y: number }> {
    const frame = (await harness.page.locator('.picture').boundingBox())!;
    const mark = (await harness.page.locator('.names span', { hasText: name }).boundingBox())!;
    return {
      x: mark.x + mark.width / 2 - frame.x - frame.width / 2,
      y: mark.y + mark.height / 2 - frame.y - frame.height / 2,
    };
  }

  const red = (r: number, g: number, b: number): boolean => r > 60 && r > 1.8 * g && r > 1.8 * b;
  const green = (r: number, g: number, b: number): boolean => g > 60 && g > 1.15 * r && g > 1.15 * b;
  const blue = (r: number, g: number, b: number): boolean => b > 60 && b > 1.3 * r && b > 1.1 * g;

  test(
    'shows every part in the colour and pattern of its state, with a legend',
    async () => {
      await button('Names').click();
      const seen = await picture();
      await harness.page.screenshot({ path: `${shots}/kit-dark.png`, fullPage: true });
      expect(countPixels(seen, red)).toBeGreaterThan(500);
      expect(countPixels(seen, green)).toBeGreaterThan(500);
      expect(countPixels(seen, blue)).toBeGreaterThan(500);
      expect(await harness.page.locator('.first > .legend').textContent()).toMatch(
        /^errors \(2\)needs a decision \(1\)ready \(1\)not checked \(1\)$/,
      );
      await button('Names').click();
      expect(harness.problems()).toEqual([]);
    },
    patient,
  );

  test(
    'a pattern is seen without its colour',
    async () => {
      await button('Front').click();
      await button('Names').click();
      const seen = await picture();
      const across = await millimetre();
      // Neighbouring pixels of a face differ where there is a pattern, and hardly where there is none.
      const [left, plain, right] = [-40, 0, 40].map((x) => roughness(seen, x * across, 6 * across));
      await button('Names').click();
      expect(left! / plain!).toBeGreaterThan(2);
      expect(right! / plain!).toBeGreaterThan(2);
    },
    patient,
  );

  test(
    'ready, printed and not checked are told apart without their colours',
    async () => {
      const states = ['unchecked', 'ready', 'printed'] as const;
      const row = states.map((kind, at) => part(kind, 40 * (at - 1), { state: kind, words: kind }));
      const before = harness;
      harness = await openKit({}, { ...kit, parts: row });
      await button('Front').click();
      await button('Names').click();
      const seen = await picture();
      const across = await millimetre();
      await harness.page.screenshot({ path: `${shots}/kit-unchecked.png` });
      const [unchecked, ready, printed] = [-40, 0, 40].map((x) => roughness(seen, x * across, 6 * across));
      await harness.close();
      harness = before;
      expect(unchecked! / ready!).toBeGreaterThan(2);
      // Level lines do not change from left to right, dashes do.
      expect(unchecked! / printed!).toBeGreaterThan(2);
    },
    patient,
  );

  /** CSS pixels of a millimetre on the front faces, seen from the front. */
  async function millimetre(): Promise<number> {
    const { orbit } = await state();
    const { height } = (await harness.page.locator('.picture').boundingBox())!;
    return height / (2 * (orbit!.distance - 10) * Math.tan((17.5 * Math.PI) / 180));
  }

  /** Mean difference of brightness from pixel to pixel in a square round a place left or right of the middle. */
  function roughness({ width, height, data }: Picture, centre: number, reach: number): number {
    const at = (x: number, y: number): number =>
      [0, 1, 2].reduce((sum, channel) => sum + data[4 * (y * width + x) + channel]!, 0);
    let sum = 0;
    let count = 0;
    for (let y = Math.ceil(height / 2 - reach); y < height / 2 + reach; y++) {
      for (let x = Math.ceil(width / 2 + centre - reach); x < width / 2 + centre + reach; x++) {
        sum += Math.abs(at(x + 1, y) - at(x, y));
        count++;
      }
    }
    return sum / count;
  }

  test(
    'pulled apart, the outermost part moves by that much away from the middle, the others in proportion',
    async () => {
      await button('Front').click();
      await settle(harness.page);
      const slider = harness.page.getByRole('slider', { name: 'Pull apart' });
      const expected = async (mm: number): Promise<number> => {
        const { orbit } = await state();
        const { height } = (await harness.page.locator('.picture').boundingBox())!;
        return (mm * height) / (2 * orbit!.distance * Math.tan((17.5 * Math.PI) / 180));
      };
      expect(Math.abs((await nameAt('left arm')).x - (await expected(-40)))).toBeLessThan(1.5);
      await slider.fill('30');
      await settle(harness.page);
      expect((await state()).apartMm).toBe(30);
      expect(Math.abs((await nameAt('left arm')).x - (await expected(-70)))).toBeLessThan(1.5);
      expect(Math.abs((await nameAt('right arm')).x - (await expected(70)))).toBeLessThan(1.5);
      expect(Math.abs((await nameAt('torso')).x)).toBeLessThan(1.5);
      expect(await slider.getAttribute('aria-valuetext')).toBe('the outermost part by 30 mm');
      await harness.page.screenshot({ path: `${shots}/kit-apart.png` });
      await slider.fill('0');
    },
    patient,
  );

  test(
    'a page that comes back stays pulled apart, though its surfaces come one by one',
    async () => {
      const back = await openKit({ savedState: { orbit: null, by: 'state', apartMm: 30, names: true } });
      await settle(back.page);
      const slider = back.page.getByRole('slider', { name: 'Pull apart' });
      expect(await slider.getAttribute('aria-valuetext')).toBe('the outermost part by 30 mm');
      expect(await slider.inputValue()).toBe('30');
      await back.page.getByRole('button', { name: 'Names', exact: true }).click();
      await back.page.waitForTimeout(300);
      expect(((await back.savedState()) as SavedKitState).apartMm).toBe(30);
      await back.close();
    },
    patient,
  );

  test(
    'a click on a part, and Enter on its row, go to it; a drag does not',
    async () => {
      await button('Front').click();
      await settle(harness.page);
      const frame = (await harness.page.locator('.picture').boundingBox())!;
      const { x, y } = await nameAt('right arm');
      const [atX, atY] = [frame.x + frame.width / 2 + x, frame.y + frame.height / 2 + y];
      await harness.page.mouse.click(atX, atY);
      expect(await asked('goToPart')).toEqual([{ part: 'right arm' }]);
      await harness.page.mouse.move(atX, atY);
      await harness.page.mouse.down();
      await harness.page.mouse.move(atX + 60, atY, { steps: 4 });
      await harness.page.mouse.up();
      await harness.page.mouse.click(frame.x + 5, frame.y + frame.height - 5);
      expect(await asked('goToPart')).toHaveLength(1);
      await button('torso').focus();
      expect(await harness.page.locator('.note').textContent()).toBe('torso: ready');
      await harness.page.keyboard.press('Enter');
      expect(await asked('goToPart')).toEqual([{ part: 'right arm' }, { part: 'torso' }]);
      await button('Show left arm on the turntable').click();
      expect(await asked('showPart')).toEqual([{ part: 'left arm' }]);
    },
    patient,
  );

  test(
    'keys on the picture turn it',
    async () => {
      await button('Front').click();
      await settle(harness.page);
      await harness.page.locator('.picture canvas').focus();
      const before = (await state()).orbit!;
      await harness.page.keyboard.press('ArrowRight');
      const after = (await state()).orbit!;
      expect(after.azimuth - before.azimuth).toBeCloseTo((5 * Math.PI) / 180, 6);
    },
    patient,
  );

  test(
    'the table says all of it in words, with totals of all copies',
    async () => {
      const rows = await harness.page.locator('table tbody tr').allInnerTexts();
      expect(rows.map((row) => row.split(/\t+/)[0]?.trim())).toEqual(parts.map(({ name }) => name));
      expect(rows[0]).toMatch(/2 errors\s+slate\s+2\s+20 × 20 × 20 mm\s+8 ml\s+8\.8 g\s+2 h\s+0\.30/);
      expect(rows[3]).toContain('1 error; not drawn: parts/lamp-post.stl is not there.');
      // By hand: 2·8 + 8 + 10 ml; 1.1 times that; 4 prints of 2 h; 3 prints at 0.30.
      const line = await harness.page.locator('.first > .status').textContent();
      expect(line).toBe(
        '3 of 5 parts measured · 34 ml of resin · 37.4 g · 8 h one after the other · cost 0.90 as far as prices are known',
      );
      expect(await harness.page.locator('tfoot').textContent()).toMatch(
        /^All copies of the 3 measured parts434 ml37\.4 g8 h0\.90$/,
      );
    },
    patient,
  );

  test(
    'is coloured by resin on demand, and remembers it',
    async () => {
      await button('Resin').click();
      expect(await harness.page.locator('.first > .legend').textContent()).toMatch(
        /^slate \(3\)granite \(1\)no resin named \(1\)$/,
      );
      const saved = await state();
      expect(saved.by).toBe('resin');
      const again = await openKit({ savedState: saved });
      expect(
        await again.page.getByRole('button', { name: 'Resin', exact: true }).getAttribute('aria-pressed'),
      ).toBe('true');
      await again.close();
      await button('State').click();
    },
    patient,
  );

  test.each(['light', 'contrast', 'contrastLight'] as const)(
    'is drawn in the colours of a %s theme',
    async (name) => {
      await harness.setTheme(name);
      await button('Whole figure').click();
      await settle(harness.page);
      await harness.page.screenshot({ path: `${shots}/kit-${name}.png`, fullPage: true });
      const seen = await picture();
      expect(countPixels(seen, red)).toBeGreaterThan(300);
      await harness.setTheme('dark');
      expect(harness.problems()).toEqual([]);
    },
    patient,
  );

  test(
    'without WebGL the table remains',
    async () => {
      const bare = await openKit({ webgl: false });
      expect(await bare.page.locator('.note').textContent()).toContain('WebGL is off');
      expect(await bare.page.locator('table tbody tr').count()).toBe(5);
      await bare.close();
    },
    patient,
  );

  test(
    'an empty state tells what to do',
    async () => {
      const bare = await openKit();
      await bare.call('show', { kind: 'empty', hint: 'The kit has no parts yet. Add one.' });
      expect(await bare.page.locator('.hint').textContent()).toBe('The kit has no parts yet. Add one.');
      expect(await bare.page.locator('.content').isVisible()).toBe(false);
      await bare.close();
    },
    patient,
  );
});

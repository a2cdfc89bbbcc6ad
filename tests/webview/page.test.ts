import { mkdirSync } from 'node:fs';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { PartView } from '../../src/protocol/partView.ts';
import type { RpcMessage } from '../../src/protocol/rpc.ts';
import type { SavedState } from '../../webview/turntable/savedState.ts';
import { findChromium, noChromium } from '../browser.ts';
import { box, join, sphere, transformed } from '../shapes.ts';
import { type Harness, launchBrowser, openTurntable, settle } from './harness.ts';
import { ball, ballView, equatorVent, piecesOf, ringGapArea, surfaceOf } from './partViews.ts';
import { countDifferent, countPixels, type Picture, type PixelReader, pixelReader } from './pixels.ts';

const shots = '.cache/webview-shots';
const patient = 240_000;

describe.skipIf(findChromium() === null)(`the turntable's page (skipped: ${noChromium})`, () => {
  let browser: Browser;
  let pixels: PixelReader;
  let turntable: Harness;

  beforeAll(async () => {
    mkdirSync(shots, { recursive: true });
    browser = await launchBrowser();
    pixels = await pixelReader(browser);
    turntable = await openTurntable(browser);
    await turntable.showView(ballView());
  }, patient);

  afterAll(() => browser?.close());

  const button = (name: string) => turntable.page.getByRole('button', { name, exact: true });
  const slider = () => turntable.page.getByRole('slider', { name: 'Cut by layer' });
  const status = () => turntable.page.locator('.status').textContent();

  async function state(): Promise<SavedState> {
    await turntable.page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    return (await turntable.savedState()) as SavedState;
  }

  async function picture(): Promise<Picture> {
    await settle(turntable.page);
    return pixels.read(await turntable.page.locator('.picture').screenshot());
  }

  async function show(view: PartView): Promise<void> {
    await turntable.showView(view);
  }

  async function calls(method: string): Promise<unknown[]> {
    const requests = (await turntable.sent()).filter(
      (message): message is Extract<RpcMessage, { kind: 'request' }> => message.kind === 'request',
    );
    return requests.filter((request) => request.method === method).map(({ params }) => params);
  }

  /** Square millimetres of section in a picture that looks straight down on a cut through `z`, inside `reach` of the middle. */
  async function sectionArea(seen: Picture, z: number, reach: number): Promise<number> {
    const orbit = (await state()).orbit!;
    const depth = orbit.target[2] + orbit.distance - z;
    const mmPerPixel = (2 * depth * Math.tan((17.5 * Math.PI) / 180)) / seen.height;
    const middle = [seen.width / 2, seen.height / 2] as const;
    const near = (x: number, y: number): boolean =>
      Math.hypot(x + 0.5 - middle[0], y + 0.5 - middle[1]) * mmPerPixel < reach;
    return countPixels(seen, (r, g, b, x, y) => near(x, y) && isSection(r, g, b)) * mmPerPixel ** 2;
  }

  /** The section and its hatch are the only orange there is: red well above blue, green between. */
  const isSection = (r: number, g: number, b: number): boolean => r - b > 25 && g - b > 8 && r > g;

  test(
    'asks the host for its state once it listens, and draws the part',
    async () => {
      expect(await calls('ready')).toEqual([null]);
      const seen = await picture();
      const colours = new Set<number>();
      countPixels(seen, (r, g, b) => colours.add((r << 16) | (g << 8) | b) && false);
      expect(colours.size).toBeGreaterThan(50);
      expect(countPixels(seen, (r, g, b) => r > 60 && r === g && g === b)).toBeGreaterThan(
        0.05 * seen.width * seen.height,
      );
      expect(turntable.problems()).toEqual([]);
    },
    patient,
  );

  test(
    'planned supports are drawn under the part, and a button hides them; without any there is no button',
    async () => {
      const isSupport = (r: number, g: number, b: number): boolean => r > 60 && g > 0.7 * r && b < 0.6 * g;
      const supports = Float32Array.of(45, 0, 60, 45, 0, 1, 1.5, 1.5, 45, 0, 1, 45, 0, 0, 6, 5);
      await show({ ...ballView([]), supports });
      const seen = countPixels(await picture(), isSupport);
      expect(seen).toBeGreaterThan(200);
      await button('Supports').click();
      expect(countPixels(await picture(), isSupport)).toBeLessThan(0.1 * seen);
      await button('Supports').click();
      expect(countPixels(await picture(), isSupport)).toBeGreaterThan(0.9 * seen);
      await show(ballView([]));
      expect(await button('Supports').isVisible()).toBe(false);
      expect(turntable.problems()).toEqual([]);
    },
    patient,
  );

  test(
    'the tubes of lights are drawn where they run, seen through the part and bare outside of it',
    async () => {
      const isTube = (r: number, g: number, b: number): boolean => g > 60 && g > 1.25 * r && g > 1.25 * b;
      await show(ballView([]));
      const before = countPixels(await picture(), isTube);
      const { centre, radius } = ball;
      const [x, y, z] = centre;
      const lights = Float32Array.of(x, y, z, x, y, z + radius + 15, 3, 3);
      await show({ ...ballView([]), lights });
      const bare = countPixels(await picture(), isTube);
      expect(bare).toBeGreaterThan(before + 150);
      await button('Outside').click();
      await button('Hollow').click();
      expect(countPixels(await picture(), isTube)).toBeGreaterThan(1.5 * bare);
      await button('Outside').click();
      await button('Hollow').click();
      await show(ballView([]));
      expect(countPixels(await picture(), isTube)).toBe(before);
      expect(turntable.problems()).toEqual([]);
    },
    patient,
  );

  describe('the filled section', () => {
    beforeAll(async () => {
      await button('Flags').click();
      await button('Above').click();
    }, patient);
    afterAll(async () => {
      await button('Flags').click();
      await button('Whole part').click();
    }, patient);

    const ring = Math.PI * (ball.radius ** 2 - ball.inner ** 2);
    const gap = ringGapArea(ball.radius, ball.inner, equatorVent.radius);
    const equator = ball.centre[2];

    test(
      'of a hollow ball is a ring of the area that geometry says, and a vent is a gap in it',
      async () => {
        await show(ballView([]));
        await turntable.call('cutAtLayer', { layer: 700 });
        const closed = await sectionArea(await picture(), equator, 33);
        expect(closed / ring).toBeGreaterThan(0.96);
        expect(closed / ring).toBeLessThan(1.04);

        await show(ballView());
        const open = await sectionArea(await picture(), equator, 33);
        expect((closed - open) / gap).toBeGreaterThan(0.85);
        expect((closed - open) / gap).toBeLessThan(1.15);
      },
      patient,
    );

    test(
      'of a solid ball is a disc',
      async () => {
        await show({ ...ballView([]), cavity: null });
        await turntable.call('cutAtLayer', { layer: 700 });
        const area = await sectionArea(await picture(), equator, 33);
        expect(area / (Math.PI * ball.radius ** 2)).toBeGreaterThan(0.98);
        expect(area / (Math.PI * ball.radius ** 2)).toBeLessThan(1.02);
      },
      patient,
    );

    test(
      'of a part that is turned and moved is the same disc',
      async () => {
        // A ball of its own frame, turned by 90° about x and set down 5 mm above the plate.
        const outer = surfaceOf('ball by itself', sphere(ball.radius, 96));
        const toPrint = { linear: [1, 0, 0, 0, 0, -1, 0, 1, 0], shift: [4, -3, 35] as const };
        await show({ ...ballView([]), part: 'turned', outer, cavity: null, toPrint });
        await button('Above').click();
        await turntable.call('cutAtLayer', { layer: 700 });
        const area = await sectionArea(await picture(), equator, 33);
        expect(area / (Math.PI * ball.radius ** 2)).toBeGreaterThan(0.98);
        expect(area / (Math.PI * ball.radius ** 2)).toBeLessThan(1.02);
      },
      patient,
    );

    test(
      'unites overlapping shells before it takes the hollow out',
      async () => {
        // Two 40 mm cubes 20 mm apart in x: 60 × 40; a hollow of 30 × 20 across the overlap.
        const cube = (shift: number) => transformed(box(40), { shift: [shift, 0, 30] });
        const outer = surfaceOf('two cubes', join(cube(-10), cube(10)));
        const cavity = surfaceOf('hollow across', transformed(box([30, 20, 20]), { shift: [0, 0, 30] }));
        await show({ ...ballView([]), part: 'ladder', outer, cavity });
        await button('Above').click();
        await turntable.call('cutAtLayer', { layer: 600 });
        const area = await sectionArea(await picture(), 30, 45);
        expect(area / (60 * 40 - 30 * 20)).toBeGreaterThan(0.98);
        expect(area / (60 * 40 - 30 * 20)).toBeLessThan(1.02);
        await show(ballView());
      },
      patient,
    );
  });

  test(
    'dragging the strata moves the cut, the slider says so, keys move it on',
    async () => {
      await turntable.call('cutAtLayer', { layer: null });
      expect(await status()).toMatch(/^No cut/);
      const place = (await slider().boundingBox())!;
      const { page } = turntable;
      await page.mouse.move(place.x + 0.3 * place.width, place.y + 60);
      await page.mouse.down();
      await page.mouse.move(place.x + 0.5 * place.width, place.y + 60, { steps: 3 });
      await page.mouse.up();
      const dragged = Number(await slider().getAttribute('aria-valuenow'));
      expect(Math.abs(dragged - 650)).toBeLessThan(15);
      expect(await status()).toContain(`Cut at layer ${dragged} (${(dragged * 0.05).toFixed(2)} mm)`);
      await slider().focus();
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('Shift+ArrowUp');
      expect(await slider().getAttribute('aria-valuetext')).toMatch(
        new RegExp(`^layer ${dragged + 11}, [\\d.]+ mm, area \\d+ mm², (cup \\d+ mm², )?pull \\d+ N$`),
      );
      const before = await picture();
      await page.keyboard.press('Home');
      const after = await picture();
      expect(Buffer.compare(Buffer.from(before.data), Buffer.from(after.data))).not.toBe(0);
      await page.keyboard.press('Escape');
      expect(await status()).toMatch(/^No cut/);
    },
    patient,
  );

  test(
    'a flag, clicked or entered, asks for its finding; the host’s flag moves camera and cut',
    async () => {
      const { page } = turntable;
      await page.locator('.disc').filter({ hasText: '12' }).click();
      expect((await calls('revealFinding')).at(-1)).toEqual({ number: 12 });
      await page.getByRole('button', { name: /^Warning 4:/ }).focus();
      await page.keyboard.press('Enter');
      expect((await calls('revealFinding')).at(-1)).toEqual({ number: 4 });
      await page.getByRole('button', { name: /^Vent 0/ }).click();
      expect(await calls('revealOpening')).toEqual([{ id: 'vents/0' }]);

      await turntable.call('revealFlag', { number: 7 });
      expect(await status()).toContain('Cut at layer 700 (35.00 mm)');
      const { flag, cut, ...left } = await state();
      const orbit = left.orbit!;
      expect(flag).toBe(7);
      expect(cut).toEqual({ by: 'layer', layer: 700 });
      expect(Math.abs(orbit.azimuth)).toBeLessThan(0.01);
      expect(orbit.target).toEqual([30, 0, 35]);
      await turntable.call('revealFlag', { number: 99 });
      expect((await state()).flag).toBe(7);
    },
    patient,
  );

  test(
    'the same part’s next view keeps camera, cut and selection; another part starts afresh',
    async () => {
      const before = await state();
      await show({ ...ballView([]), figures: [{ label: 'Resin', value: '20.0 ml' }] });
      const { cut, flag, ...left } = await state();
      const orbit = left.orbit!;
      expect(orbit.distance).toBeCloseTo(before.orbit!.distance, 6);
      expect(orbit.azimuth).toBeCloseTo(before.orbit!.azimuth, 6);
      expect({ cut, flag }).toEqual({ cut: before.cut, flag: before.flag });
      await show({ ...ballView(), part: 'coat' });
      const fresh = await state();
      expect(fresh.cut).toEqual({ by: 'none' });
      expect(fresh.orbit!.target[0]).toBeCloseTo(0, 6);
    },
    patient,
  );

  test(
    'planes from the side, from the front and facing the camera cut too',
    async () => {
      const { page } = turntable;
      for (const by of ['x', 'y', 'facing']) {
        await page.getByLabel('Cut', { exact: true }).locator('visible=true').last().selectOption(by);
        const seen = await picture();
        expect(countPixels(seen, isSection), by).toBeGreaterThan(500);
        const before = Buffer.from(seen.data);
        await page.getByLabel('Where the plane cuts').focus();
        for (let i = 0; i < 3; i++) await page.keyboard.press('PageUp');
        expect(Buffer.compare(before, Buffer.from((await picture()).data)), by).not.toBe(0);
        expect(await status()).toMatch(/^Cut (from|facing)/);
      }
      await page.screenshot({ path: `${shots}/facing.png` });
      await button('See through').click();
      await turntable.call('cutAtLayer', { layer: null });
      await page.screenshot({ path: `${shots}/see-through.png` });
      await button('See through').click();
    },
    patient,
  );

  test(
    'a picture is drawn only when something changed',
    async () => {
      await settle(turntable.page);
      const frames = await turntable.page.evaluate(async () => {
        let drawn = 0;
        const real = WebGL2RenderingContext.prototype.clear;
        WebGL2RenderingContext.prototype.clear = function (mask) {
          drawn++;
          real.call(this, mask);
        };
        await new Promise((done) => setTimeout(done, 500));
        const idle = drawn;
        document
          .querySelector<HTMLElement>('.picture canvas')!
          .dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft' }));
        await new Promise((done) => setTimeout(done, 1500));
        WebGL2RenderingContext.prototype.clear = real;
        return { idle, moved: drawn - idle };
      });
      expect(frames.idle).toBe(0);
      expect(frames.moved).toBeGreaterThan(0);
    },
    patient,
  );

  test(
    'turning draws what the renderer keeps up with; at rest all is drawn; old buffers are given back',
    async () => {
      const { page } = turntable;
      await page.evaluate(() => {
        const live = { buffers: 0 };
        const { createBuffer, deleteBuffer } = WebGL2RenderingContext.prototype;
        WebGL2RenderingContext.prototype.createBuffer = function () {
          live.buffers++;
          return createBuffer.call(this);
        };
        WebGL2RenderingContext.prototype.deleteBuffer = function (buffer) {
          live.buffers--;
          deleteBuffer.call(this, buffer);
        };
        Object.assign(window, { live });
      });
      const canvas = page.locator('.picture canvas');
      const drawn = async (): Promise<number> => Number(await canvas.getAttribute('data-triangles'));
      const buffers = (): Promise<number> =>
        page.evaluate(() => (window as unknown as { live: { buffers: number } }).live.buffers);
      const levelsOf = (key: string) => surfaceOf(key, sphere(30, 40), sphere(30, 160));
      await show({ ...ballView([]), part: 'levels', outer: levelsOf('levels 0'), cavity: null });
      await turntable.call('cutAtLayer', { layer: null });
      expect(await drawn()).toBe(sphere(30, 160).triangles.length / 3);
      const before = await buffers();
      for (let i = 1; i < 5; i++) {
        await show({ ...ballView([]), part: 'levels', outer: levelsOf(`levels ${i}`), cavity: null });
      }
      expect(await buffers()).toBe(before);

      const place = (await canvas.boundingBox())!;
      await page.mouse.move(place.x + 200, place.y + 150);
      await page.mouse.down();
      await page.mouse.move(place.x + 260, place.y + 150, { steps: 4 });
      await page.mouse.up();
      expect(await canvas.getAttribute('data-resting')).toBeNull();
      await settle(page);
      expect(await drawn()).toBe(sphere(30, 160).triangles.length / 3);
      await show({ ...ballView(), part: 'coat' });
    },
    patient,
  );

  test(
    'a part that is still being measured has its picture and nothing else; its figures join it',
    async () => {
      const { part, machine, toPrint, outer, cavity } = ballView();
      const early = await openTurntable(browser);
      const working = { kind: 'working', part, stage: 'hollowing', fraction: 0.1 } as const;
      await early.show({ ...working, scene: { part, machine, toPrint, outer, cavity } });
      for (const piece of piecesOf(ballView())) await early.call('surface', piece);
      await early.page.screenshot({ path: `${shots}/early.png` });
      const seen = await pixels.read(await early.page.locator('.picture').screenshot());
      expect(countPixels(seen, (r, g, b) => r > 60 && r === g && g === b)).toBeGreaterThan(
        0.05 * seen.width * seen.height,
      );
      expect(await early.page.locator('.banner').textContent()).toContain('hollowing, 10 %');
      for (const name of ['.controls', '.strata', 'section']) {
        expect(await early.page.locator(name).first().isVisible(), name).toBe(false);
      }
      const eye = async () => {
        await early.page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
        return ((await early.savedState()) as SavedState | null)?.orbit;
      };
      await early.show({
        ...working,
        stage: 'reading layers',
        scene: { part, machine, toPrint, outer, cavity },
      });
      await early.show({ kind: 'view', view: ballView(), editable: true });
      expect(await early.page.locator('.banner').isVisible()).toBe(false);
      expect(await early.page.locator('.strata').isVisible()).toBe(true);
      expect((await eye())!.target[2]).toBeCloseTo(35, 3);
      expect(early.problems()).toEqual([]);
      await early.close();
    },
    patient,
  );

  test(
    'what happens and every layer stand in tables',
    async () => {
      const { page } = turntable;
      expect(await page.getByRole('table').first().textContent()).toContain('Cup 1 breathes.');
      await page.getByText('Every layer as a table').click();
      await page.waitForFunction(
        () => document.querySelectorAll('.tables details:last-of-type tbody tr').length === 1300,
      );
      const cells = page.locator('.tables details:last-of-type tbody tr').nth(700).locator('th, td');
      expect(await cells.allTextContents()).toEqual(['700', '35.00 mm', '364.4', '0.0', '10.9']);
      await page.getByText('Every layer as a table').click();
    },
    patient,
  );

  test(
    'work, failure and emptiness are told in words',
    async () => {
      const { page } = turntable;
      await turntable.show({
        kind: 'working',
        part: 'coat',
        stage: 'hollowing',
        fraction: 0.42,
        scene: null,
      });
      expect(await page.locator('.banner').textContent()).toContain('coat: hollowing, 42 %');
      expect(await page.locator('.content').isVisible()).toBe(true);
      await button('Cancel').click();
      expect(await calls('cancel')).toEqual([null]);
      const error = { code: 'stl-truncated', message: 'The file ends too early. Export it again.' } as const;
      await turntable.show({ kind: 'failure', part: 'arm', error });
      expect(await page.getByRole('alert').textContent()).toBe(
        'arm: The file ends too early. Export it again. stl-truncated',
      );
      expect(await page.locator('.content').isVisible()).toBe(false);
      await turntable.show({ kind: 'empty', hint: 'Open a part from kit.yaml.' });
      expect(await page.locator('.banner').textContent()).toBe('Open a part from kit.yaml.');
      await show(ballView());
      expect(await page.locator('.banner').isVisible()).toBe(false);
    },
    patient,
  );

  test(
    'every theme has its picture',
    async () => {
      const { page } = turntable;
      await turntable.call('revealFlag', { number: 7 });
      await button('Whole part').click();
      const seen: Buffer[] = [];
      for (const name of ['dark', 'light', 'contrast', 'contrastLight'] as const) {
        await turntable.setTheme(name);
        await page.screenshot({ path: `${shots}/${name}.png` });
        await page.screenshot({ path: `${shots}/${name}-whole.png`, fullPage: true });
        seen.push(Buffer.from((await picture()).data));
      }
      await turntable.setTheme('dark');
      expect(Buffer.compare(Buffer.from((await picture()).data), seen[0]!)).toBe(0);
      expect(new Set(seen.map((data) => data.toString('base64'))).size).toBe(4);
      expect(turntable.problems()).toEqual([]);
    },
    patient,
  );

  test(
    'a lost context is told and survived',
    async () => {
      const { page } = turntable;
      const before = await picture();
      await page.evaluate(async () => {
        const canvas = document.querySelector<HTMLCanvasElement>('.picture canvas')!;
        const extension = canvas.getContext('webgl2')!.getExtension('WEBGL_lose_context')!;
        extension.loseContext();
        await new Promise((done) => setTimeout(done, 200));
        Object.assign(window, { heldExtension: extension });
      });
      expect(await page.locator('.note').textContent()).toContain('lost by the graphics driver');
      await page.evaluate(() =>
        (window as unknown as { heldExtension: WEBGL_lose_context }).heldExtension.restoreContext(),
      );
      await page.waitForFunction(() => !document.querySelector('.note')!.textContent!.includes('lost'));
      const after = await picture();
      expect(countDifferent(before, after)).toBeLessThan(0.001 * before.width * before.height);
    },
    patient,
  );

  test(
    'a page that comes back stands as it was left',
    async () => {
      const kept = await state();
      const back = await openTurntable(browser, { savedState: kept });
      await back.showView(ballView(), false);
      await back.page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
      const now = (await back.savedState()) as SavedState;
      expect(now.cut).toEqual(kept.cut);
      expect(now.flag).toBe(kept.flag);
      expect(now.orbit!.distance).toBeCloseTo(kept.orbit!.distance, 6);
      expect(await back.page.getByRole('button', { name: 'Make ready' }).count()).toBe(0);
      await back.close();
    },
    patient,
  );

  test(
    'without WebGL the words, the graph and the tables are there',
    async () => {
      const plain = await openTurntable(browser, { webgl: false });
      await plain.showView(ballView());
      expect(await plain.page.locator('.note').textContent()).toContain('no WebGL');
      await plain.page.getByRole('slider', { name: 'Cut by layer' }).focus();
      await plain.page.keyboard.press('Home');
      expect(await plain.page.locator('.status').textContent()).toContain('Cut at layer 0');
      await plain.page.screenshot({ path: `${shots}/no-webgl.png` });
      await plain.close();
    },
    patient,
  );
});

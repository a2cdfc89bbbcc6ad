import type { Browser, Page } from 'playwright-core';

/** A picture as the browser showed it: RGBA bytes, row by row from the top. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

export interface PixelReader {
  read(png: Buffer): Promise<Picture>;
}

/** Decodes screenshots in an empty page of the browser that took them. */
export async function pixelReader(browser: Browser): Promise<PixelReader> {
  const page: Page = await browser.newPage();
  return {
    async read(png) {
      const { width, height, base64 } = await page.evaluate(async (text) => {
        const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
        const image = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
        const canvas = new OffscreenCanvas(image.width, image.height);
        const pen = canvas.getContext('2d')!;
        pen.drawImage(image, 0, 0);
        const { data } = pen.getImageData(0, 0, image.width, image.height);
        let binary = '';
        for (let i = 0; i < data.length; i += 8192)
          binary += String.fromCharCode(...data.subarray(i, i + 8192));
        return { width: image.width, height: image.height, base64: btoa(binary) };
      }, png.toString('base64'));
      return { width, height, data: Buffer.from(base64, 'base64') };
    },
  };
}

/** Pixels for which `test` holds, of red, green, blue and the pixel's place. */
export function countPixels(
  { width, data }: Picture,
  test: (r: number, g: number, b: number, x: number, y: number) => boolean,
): number {
  let count = 0;
  for (let i = 0; i < data.length; i += 4) {
    const pixel = i / 4;
    if (test(data[i]!, data[i + 1]!, data[i + 2]!, pixel % width, Math.floor(pixel / width))) count++;
  }
  return count;
}

/** Pixels that differ by more than a sixteenth of the range in any channel; all of them when the sizes differ. */
export function countDifferent(a: Picture, b: Picture): number {
  if (a.width !== b.width || a.height !== b.height) return a.width * a.height;
  return countPixels(a, (red, green, blue, x, y) => {
    const i = 4 * (y * a.width + x);
    const apart = [red - b.data[i]!, green - b.data[i + 1]!, blue - b.data[i + 2]!];
    return apart.some((difference) => Math.abs(difference) > 16);
  });
}

import type { Page } from 'playwright-core';

/** How many different colours a PNG holds: 1 means that nothing was drawn. */
export async function colourCount(page: Page, png: Buffer): Promise<number> {
  const blank = await page.context().newPage();
  try {
    return await blank.evaluate(async (base64) => {
      const image = new Image();
      image.src = `data:image/png;base64,${base64}`;
      await image.decode();
      const canvas = document.createElement('canvas');
      canvas.width = image.width;
      canvas.height = image.height;
      const context = canvas.getContext('2d');
      if (context === null) return 0;
      context.drawImage(image, 0, 0);
      const { data } = context.getImageData(0, 0, image.width, image.height);
      return new Set(new Uint32Array(data.buffer)).size;
    }, png.toString('base64'));
  } finally {
    await blank.close();
  }
}

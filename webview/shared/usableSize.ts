/**
 * The size to draw at, or null when the page is hidden: a retained webview that is hidden reports
 * 0 × 0 or the default frame size of 300 × 150, and drawing at it would lose the picture.
 */
export function usableSize(
  width: number,
  height: number,
  hidden: boolean,
): { readonly width: number; readonly height: number } | null {
  if (hidden || width < 1 || height < 1) return null;
  if (width === 300 && height === 150) return null;
  return { width: Math.floor(width), height: Math.floor(height) };
}

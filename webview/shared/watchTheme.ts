import { readTheme, type Theme } from './theme.ts';

/**
 * Calls `apply` with the page's theme now and after every change. VS Code changes the class of
 * `body` and the custom properties on the root element's style, in no promised order, so both are
 * watched and a burst is read once.
 */
export function watchTheme(page: Document, apply: (theme: Theme) => void): () => void {
  let waiting = false;
  const read = (): void => {
    waiting = false;
    const style = getComputedStyle(page.body);
    apply(readTheme((name) => style.getPropertyValue(name), [...page.body.classList]));
  };
  const observer = new MutationObserver(() => {
    if (waiting) return;
    waiting = true;
    queueMicrotask(read);
  });
  const attributeFilter = ['class', 'style', 'data-vscode-theme-kind'];
  observer.observe(page.documentElement, { attributes: true, attributeFilter });
  observer.observe(page.body, { attributes: true, attributeFilter });
  read();
  return () => observer.disconnect();
}

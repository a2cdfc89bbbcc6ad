/** A DOM element with attributes and children; `null` and `false` attributes are left out. */
export function element<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Readonly<Record<string, string | number | boolean | null>> = {},
  ...children: readonly (Node | string)[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  setAttributes(made, attributes);
  made.append(...children);
  return made;
}

const svgNamespace = 'http://www.w3.org/2000/svg';

export function svgElement<K extends keyof SVGElementTagNameMap>(
  tag: K,
  attributes: Readonly<Record<string, string | number | boolean | null>> = {},
  ...children: readonly (Node | string)[]
): SVGElementTagNameMap[K] {
  const made = document.createElementNS(svgNamespace, tag);
  setAttributes(made, attributes);
  made.append(...children);
  return made;
}

function setAttributes(
  target: Element,
  attributes: Readonly<Record<string, string | number | boolean | null>>,
): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === false) continue;
    target.setAttribute(name, value === true ? '' : String(value));
  }
}

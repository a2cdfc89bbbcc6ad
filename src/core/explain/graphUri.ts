/** An SVG as an address that an image of a Markdown document can have. */
export function graphUri(svg: string): string {
  const encoded = encodeURIComponent(svg).replace(
    /[()'!*]/g,
    (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`,
  );
  return `data:image/svg+xml;charset=utf-8,${encoded}`;
}

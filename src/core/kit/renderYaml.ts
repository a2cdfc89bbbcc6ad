export type YamlValue =
  | string
  | number
  | boolean
  | null
  | readonly YamlValue[]
  | { readonly [key: string]: YamlValue };

/** A value as one line of YAML, flow style. */
export function renderFlow(value: YamlValue): string {
  if (typeof value === 'string') return renderText(value);
  if (value === null || typeof value !== 'object') return String(value);
  if (isList(value)) return `[${value.map(renderFlow).join(', ')}]`;
  const entries = Object.entries(value).map(([key, inner]) => `${renderText(key)}: ${renderFlow(inner)}`);
  return entries.length === 0 ? '{}' : `{ ${entries.join(', ')} }`;
}

function isList(value: object): value is readonly YamlValue[] {
  return Array.isArray(value);
}

const plainText = /^[A-Za-z_][A-Za-z0-9_./-]*(?: [A-Za-z0-9_./-]+)*$/;
const otherMeaning = /^(?:true|false|null)$/i;

/** Quoted unless it can only be read as this text; JSON's quoting is YAML's too. */
export function renderText(text: string): string {
  return plainText.test(text) && !otherMeaning.test(text) ? text : JSON.stringify(text);
}

import { strToU8, zipSync } from 'fflate';
import type { Mesh } from '../core/mesh/mesh.ts';

/** A closed, outward mesh in the print frame, mm, and what it is for. */
export interface PackedObject {
  readonly mesh: Mesh;
  readonly name: string;
  /** `solidsupport` is filled as `model` is; what is of type `support` a machine must not fill. */
  readonly type: 'model' | 'solidsupport';
}

/**
 * The objects as a 3MF package, core specification 1.4.0: unit millimetre, one build item. Several
 * objects are components of one more, since a machine may move items, but not components, relative to
 * each other, and a support is to be named beside what it holds (sections 3.4.3.1 and 4.1). 3MF's
 * origin is the plate's bottom-front-left corner and allows any placement; the print frame is kept as
 * it is. Dates are fixed so that the same meshes give the same bytes. There is no thumbnail: it would
 * have to be a picture of the object, and nothing draws one here.
 */
export function write3mf(objects: readonly PackedObject[]): Uint8Array {
  const fixed = { mtime: new Date(1980, 0, 1), level: 6 } as const;
  return zipSync({
    '[Content_Types].xml': [strToU8(contentTypes), fixed],
    '_rels/.rels': [strToU8(relationships), fixed],
    '3D/3dmodel.model': [strToU8(model(objects)), fixed],
  });
}

const declaration = '<?xml version="1.0" encoding="UTF-8"?>\n';

export const contentTypes = `${declaration}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n`;

export const relationships = `${declaration}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>\n`;

function model(objects: readonly PackedObject[]): string {
  const lines = [modelHead, '<resources>'];
  for (const [n, object] of objects.entries()) {
    for (const line of objectLines(object, n + 1)) lines.push(line);
  }
  const item = objects.length === 1 ? 1 : objects.length + 1;
  if (item > 1) {
    const components = objects.map((_, n) => `<component objectid="${n + 1}"/>`).join('');
    const name = escapeXml(`${objects[0]!.name}, held`);
    lines.push(`<object id="${item}" name="${name}"><components>${components}</components></object>`);
  }
  lines.push(`</resources><build><item objectid="${item}"/></build></model>\n`);
  return lines.join('\n');
}

/** Start of the model's own file, before its resources. */
export const modelHead = `${declaration}<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">`;

/** An object of that file, line by line. */
export function* objectLines(
  { mesh: { positions, triangles }, name, type }: PackedObject,
  id: number,
): Generator<string> {
  yield `<object id="${id}" type="${type}" name="${escapeXml(name)}"><mesh><vertices>`;
  for (let at = 0; at < positions.length; at += 3) {
    yield `<vertex x="${positions[at]}" y="${positions[at + 1]}" z="${positions[at + 2]}"/>`;
  }
  yield '</vertices><triangles>';
  for (let at = 0; at < triangles.length; at += 3) {
    yield `<triangle v1="${triangles[at]}" v2="${triangles[at + 1]}" v3="${triangles[at + 2]}"/>`;
  }
  yield '</triangles></mesh></object>';
}

const escapeXml = (text: string): string =>
  text.replace(/[&<>"]/g, (sign) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[sign]!);

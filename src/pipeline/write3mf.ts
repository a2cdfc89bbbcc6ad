import { strToU8, zipSync } from 'fflate';
import type { Mesh } from '../core/mesh/mesh.ts';

/**
 * The mesh as a 3MF package, core specification 1.4.0: one model object, unit millimetre, one build
 * item. 3MF's origin is the plate's bottom-front-left corner and allows any placement; the print
 * frame is kept as it is. Dates are fixed so that the same mesh gives the same bytes.
 */
export function write3mf(mesh: Mesh, name: string): Uint8Array {
  const fixed = { mtime: new Date(1980, 0, 1), level: 6 } as const;
  return zipSync({
    '[Content_Types].xml': [strToU8(contentTypes), fixed],
    '_rels/.rels': [strToU8(relationships), fixed],
    '3D/3dmodel.model': [strToU8(model(mesh, name)), fixed],
  });
}

const declaration = '<?xml version="1.0" encoding="UTF-8"?>\n';

export const contentTypes = `${declaration}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>\n`;

export const relationships = `${declaration}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/></Relationships>\n`;

function model(mesh: Mesh, name: string): string {
  const lines = [modelHead];
  for (const line of objectLines(mesh, 1, name, '<resources>')) lines.push(line);
  lines[lines.length - 1] += '</resources><build><item objectid="1"/></build></model>\n';
  return lines.join('\n');
}

/** Start of the model's own file, before its resources. */
export const modelHead = `${declaration}<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">`;

/** A mesh as an object of that file, line by line; `before` stands in front of it. */
export function* objectLines(
  { positions, triangles }: Mesh,
  id: number,
  name: string,
  before = '',
): Generator<string> {
  yield `${before}<object id="${id}" type="model" name="${escapeXml(name)}"><mesh><vertices>`;
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

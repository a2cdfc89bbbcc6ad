import { strToU8, Zip, ZipDeflate } from 'fflate';
import type { Mesh } from '../core/mesh/mesh.ts';

/** A closed, outward mesh in the print frame, mm, and what it is for. */
export interface PackedObject {
  readonly mesh: Mesh;
  readonly name: string;
  /** `solidsupport` is filled as `model` is; what is of type `support` a machine must not fill. */
  readonly type: 'model' | 'solidsupport';
}

/** The model is longer than a package can hold. */
export class PackageFull extends Error {}

/** What a zip without its 64-bit extension can hold. */
const mostBytes = 2 ** 32 - 1;
const tooLong = 'The model is larger than a 3MF package can hold. Use --format stl, or fewer parts.';
const linesPerPiece = 1 << 13;

/**
 * A 3MF package, core specification 1.4.0: unit millimetre. `more`: resources beside the objects, which are
 * numbered from 1; `items`: what is built; `thumbnail`: a PNG of that, which the package's own relationship of the open
 * packaging conventions names. Made and packed piece by piece, since the text of a large part is longer than a
 * string may be. Dates are fixed so that the same meshes give the same bytes. Throws `PackageFull`.
 */
export function* pack3mf(
  objects: readonly PackedObject[],
  more: string,
  items: string,
  thumbnail: Uint8Array,
): Generator<Uint8Array> {
  const ready: Uint8Array[] = [];
  const zip = new Zip((error, piece) => {
    if (error) throw error;
    ready.push(piece);
  });
  for (const [name, pieces] of [
    ['[Content_Types].xml', [contentTypes]],
    ['_rels/.rels', [relationships]],
    ['Metadata/thumbnail.png', [thumbnail]],
    ['3D/3dmodel.model', modelPieces(objects, more, items)],
  ] as const) {
    const file = new ZipDeflate(name, { level: 6 });
    file.mtime = new Date(1980, 0, 1);
    zip.add(file);
    let bytes = 0;
    for (const text of pieces) {
      const piece = typeof text === 'string' ? strToU8(text) : text;
      bytes += piece.length;
      if (bytes > mostBytes) throw new PackageFull(tooLong);
      file.push(piece);
      yield* ready.splice(0);
    }
    file.push(new Uint8Array(0), true);
  }
  zip.end();
  yield* ready;
}

const declaration = '<?xml version="1.0" encoding="UTF-8"?>\n';

const contentTypes = `${declaration}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/><Default Extension="png" ContentType="image/png"/></Types>\n`;

const relationships = `${declaration}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/><Relationship Id="thumbnail" Type="http://schemas.openxmlformats.org/package/2006/relationships/metadata/thumbnail" Target="/Metadata/thumbnail.png"/></Relationships>\n`;

function* modelPieces(objects: readonly PackedObject[], more: string, items: string): Generator<string> {
  yield `${declaration}<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">\n<resources>\n`;
  for (const [n, object] of objects.entries()) {
    let lines: string[] = [];
    for (const line of objectLines(object, n + 1)) {
      lines.push(line);
      if (lines.length < linesPerPiece) continue;
      yield `${lines.join('\n')}\n`;
      lines = [];
    }
    yield `${lines.join('\n')}\n`;
  }
  yield `${more}</resources><build>${items}</build></model>\n`;
}

function* objectLines(
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

export const escapeXml = (text: string): string =>
  text.replace(/[&<>"]/g, (sign) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[sign]!);

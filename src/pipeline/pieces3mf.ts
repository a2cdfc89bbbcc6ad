import { strToU8, Zip, ZipDeflate } from 'fflate';
import { type Place, turnBy } from '../core/plates/place.ts';
import { contentTypes, modelHead, objectLines, type PackedObject, relationships } from './write3mf.ts';

/** A mesh in its own print frame, and where that stands on the plate. */
export interface PlacedMesh extends PackedObject {
  readonly place: Place;
}

/** What a zip without its 64-bit extension can hold. */
export const most3mfBytes = 2 ** 32 - 1;

const linesPerPiece = 1 << 13;

/**
 * A 3MF package, core specification 1.4.0, of several objects, each with a build item of its own: its mesh as
 * it stands in its print frame, its place in the item's transform, 3MF's origin at the plate's front left corner
 * (`corner`, from the plate's middle). Made and packed piece by piece, since the text of several large parts is
 * longer than a string may be. The same meshes give the same bytes. Throws `RangeError` beyond `most3mfBytes`.
 */
export function* pieces3mf(
  items: readonly PlacedMesh[],
  corner: readonly [number, number],
): Generator<Uint8Array> {
  const ready: Uint8Array[] = [];
  const zip = new Zip((error, piece) => {
    if (error) throw error;
    ready.push(piece);
  });
  for (const [name, pieces] of [
    ['[Content_Types].xml', [contentTypes]],
    ['_rels/.rels', [relationships]],
    ['3D/3dmodel.model', modelPieces(items, corner)],
  ] as const) {
    const file = new ZipDeflate(name, { level: 6 });
    file.mtime = new Date(1980, 0, 1);
    zip.add(file);
    let bytes = 0;
    for (const text of pieces) {
      const piece = strToU8(text);
      bytes += piece.length;
      if (bytes > most3mfBytes) throw new RangeError('the model is larger than a 3MF package can hold');
      file.push(piece);
      yield* ready.splice(0);
    }
    file.push(new Uint8Array(0), true);
  }
  zip.end();
  yield* ready;
}

function* modelPieces(items: readonly PlacedMesh[], corner: readonly [number, number]): Generator<string> {
  yield `${modelHead}\n<resources>\n`;
  for (const [n, object] of items.entries()) {
    let lines: string[] = [];
    for (const line of objectLines(object, n + 1)) {
      lines.push(line);
      if (lines.length < linesPerPiece) continue;
      yield `${lines.join('\n')}\n`;
      lines = [];
    }
    yield `${lines.join('\n')}\n`;
  }
  const build = items.map(
    ({ place }, n) => `<item objectid="${n + 1}" transform="${transformOf(place, corner)}"/>`,
  );
  yield `</resources><build>${build.join('')}</build></model>\n`;
}

/** Row by row of a matrix that stands behind a row of coordinates (core specification, 3.3). */
function transformOf({ at, spin }: Place, corner: readonly [number, number]): string {
  const [cos, sin] = turnBy(spin);
  const entries = [cos, sin, 0, -sin, cos, 0, 0, 0, 1, at[0] - corner[0], at[1] - corner[1], 0];
  // −0 is 0.
  return entries.map((entry) => entry + 0).join(' ');
}

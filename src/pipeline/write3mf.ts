import type { Interrupter } from '../core/interrupter.ts';
import { escapeXml, type PackedObject, pack3mf } from './pack3mf.ts';
import { thumbnailOf } from './thumbnailOf.ts';

/**
 * The objects as a 3MF package with one build item, piece by piece. Several objects are components of one
 * more, since a machine may move items, but not components, relative to each other, and a support is to be
 * named beside what it holds (core specification 1.4.0, sections 3.4.3.1 and 4.1). 3MF's origin is the
 * plate's bottom-front-left corner and allows any placement; the print frame is kept as it is. `interrupter` is heard
 * while the thumbnail is drawn.
 */
export function write3mf(objects: readonly PackedObject[], interrupter: Interrupter): Generator<Uint8Array> {
  const thumbnail = thumbnailOf(objects, interrupter);
  if (objects.length === 1) return pack3mf(objects, '', '<item objectid="1"/>', thumbnail);
  const held = objects.length + 1;
  const components = objects.map((_, n) => `<component objectid="${n + 1}"/>`).join('');
  const name = escapeXml(`${objects[0]!.name}, held`);
  const assembly = `<object id="${held}" name="${name}"><components>${components}</components></object>\n`;
  return pack3mf(objects, assembly, `<item objectid="${held}"/>`, thumbnail);
}

import { decode } from 'fast-png';
import { strFromU8, unzipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { PackedObject } from '../../../src/pipeline/pack3mf.ts';
import { write3mf } from '../../../src/pipeline/write3mf.ts';
import * as shapes from '../../shapes.ts';

/* Against the schema and the rules of the 3MF Core Specification 1.4.0, sections 2 to 4 and appendix B.1. */

interface Element {
  readonly tag: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: Element[];
}

/** The tree of a document without text, comments or CDATA; throws at whatever is not that. */
function parseXml(text: string): Element {
  const root: Element = { tag: '', attributes: {}, children: [] };
  const open = [root];
  const body = text.replace(/^<\?xml version="1.0" encoding="UTF-8"\?>\n/, '');
  const rest = body.replace(
    /<(\/?)([A-Za-z]\w*)((?: [\w:]+="[^"<]*")*)(\/?)>\s*/g,
    (_, end, tag, list, empty) => {
      if (end === '/') {
        if (open.pop()!.tag !== tag) throw new Error(`</${tag}> closes another element`);
        return '';
      }
      const pairs = [...(list as string).matchAll(/ ([\w:]+)="([^"]*)"/g)];
      const element = {
        tag,
        attributes: Object.fromEntries(pairs.map((pair) => [pair[1], pair[2]])),
        children: [],
      };
      open.at(-1)!.children.push(element);
      if (empty === '') open.push(element);
      return '';
    },
  );
  if (rest !== '' || open.length !== 1) throw new Error(`not well-formed: ${rest.slice(0, 80)}`);
  return root.children[0]!;
}

const packed = (objects: readonly PackedObject[]): Uint8Array =>
  Buffer.concat([...write3mf(objects, uninterrupted)]);

const partsOf = (objects: readonly PackedObject[]): Record<string, string> =>
  Object.fromEntries(
    Object.entries(unzipSync(packed(objects))).map(([name, bytes]) => [name, strFromU8(bytes)]),
  );

const modelOf = (objects: readonly PackedObject[]): Element =>
  parseXml(partsOf(objects)['3D/3dmodel.model']!);

/** ST_Number of the schema. */
const number = /^(-|\+)?(([0-9]+(\.[0-9]+)?)|(\.[0-9]+))((e|E)(-|\+)?[0-9]+)?$/;

function checkMesh({ tag, children }: Element): void {
  expect(tag).toBe('mesh');
  expect(children.map((child) => child.tag)).toEqual(['vertices', 'triangles']);
  const [vertices, triangles] = children;
  for (const { tag: vertex, attributes } of vertices!.children) {
    expect([vertex, Object.keys(attributes)]).toEqual(['vertex', ['x', 'y', 'z']]);
    for (const value of Object.values(attributes)) expect(value).toMatch(number);
  }
  // Every edge belongs to exactly two triangles, once in each direction (section 4.1).
  const edges = new Set<string>();
  for (const { attributes } of triangles!.children) {
    const corners = [attributes['v1']!, attributes['v2']!, attributes['v3']!];
    expect(new Set(corners).size).toBe(3);
    corners.forEach((corner, n) => {
      expect(Number(corner)).toBeLessThan(vertices!.children.length);
      const edge = `${corner} ${corners[(n + 1) % 3]}`;
      expect(edges.has(edge)).toBe(false);
      edges.add(edge);
    });
  }
  for (const edge of edges) expect(edges.has(edge.split(' ').reverse().join(' '))).toBe(true);
}

const tiny: Mesh = shapes.transformed(shapes.box(1), { scale: 1e-7, shift: [0, -0, 3] });
const part: PackedObject = { mesh: shapes.box(4), name: 'a < b & "c"', type: 'model' };
const supports: PackedObject = { mesh: shapes.cone(1, 2, 8), name: 'supports', type: 'solidsupport' };

describe('a 3MF package', () => {
  test('has the parts that the open packaging conventions ask for, each with its type, and a relationship to model and thumbnail', () => {
    const parts = partsOf([part, supports]);
    expect(Object.keys(parts)).toEqual([
      '[Content_Types].xml',
      '_rels/.rels',
      'Metadata/thumbnail.png',
      '3D/3dmodel.model',
    ]);
    const types = parseXml(parts['[Content_Types].xml']!).children.map(({ attributes }) => attributes);
    const typeOf = (name: string) =>
      types.find(({ Extension }) => Extension === name.split('.').at(-1))?.['ContentType'];
    expect(typeOf('/3D/3dmodel.model')).toBe('application/vnd.ms-package.3dmanufacturing-3dmodel+xml');
    expect(typeOf('/Metadata/thumbnail.png')).toBe('image/png');
    expect(typeOf('/_rels/.rels')).toBe('application/vnd.openxmlformats-package.relationships+xml');
    const relationships = parseXml(parts['_rels/.rels']!).children.map(({ attributes }) => attributes);
    expect(relationships.map(({ Type, Target }) => [Type, Target])).toEqual([
      ['http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel', '/3D/3dmodel.model'],
      [
        'http://schemas.openxmlformats.org/package/2006/relationships/metadata/thumbnail',
        '/Metadata/thumbnail.png',
      ],
    ]);
    expect(new Set(relationships.map(({ Id }) => Id)).size).toBe(2);
  });

  test('the thumbnail is a PNG of what the package holds: a part, and its supports in another tone', () => {
    const toneOf = (objects: readonly PackedObject[]) => {
      const png = unzipSync(packed(objects))['Metadata/thumbnail.png']!;
      expect([...png.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
      const { width, height, channels, depth, data } = decode(png);
      expect([width, height, channels, depth]).toEqual([256, 256, 4, 8]);
      let [shown, warm] = [0, 0];
      for (let at = 0; at < data.length; at += 4) {
        if (data[at + 3] === 0) continue;
        shown++;
        if (data[at]! > data[at + 2]! + 5) warm++;
      }
      return { shown, warm };
    };
    const below = { ...supports, mesh: shapes.transformed(supports.mesh, { shift: [0, 0, -4] }) };
    const [alone, held] = [toneOf([part]), toneOf([part, below])];
    expect(alone.shown).toBeGreaterThan(0.4 * 256 * 256);
    expect(alone.warm).toBe(0);
    expect(held.warm).toBeGreaterThan(500);
  });

  test('of one object: millimetres, its name, one item', () => {
    const model = modelOf([part]);
    expect(model.attributes['unit']).toBe('millimeter');
    expect(model.children.map(({ tag }) => tag)).toEqual(['resources', 'build']);
    const [resources, build] = model.children;
    expect(resources!.children.map(({ attributes }) => attributes)).toEqual([
      { id: '1', type: 'model', name: 'a &lt; b &amp; &quot;c&quot;' },
    ]);
    checkMesh(resources!.children[0]!.children[0]!);
    expect(build!.children).toEqual([{ tag: 'item', attributes: { objectid: '1' }, children: [] }]);
  });

  test('of part and supports: two named meshes, defined before the object whose components they are, and its item', () => {
    const [resources, build] = modelOf([part, supports]).children;
    const [first, second, held] = resources!.children;
    expect(first!.attributes['type']).toBe('model');
    // What is of type `support` a machine must not fill (section 4.1).
    expect(second!.attributes).toEqual({ id: '2', type: 'solidsupport', name: 'supports' });
    for (const object of [first, second]) checkMesh(object!.children[0]!);
    expect(held!.attributes['type']).toBeUndefined();
    expect(held!.children[0]!.children.map(({ tag, attributes }) => [tag, attributes])).toEqual([
      ['component', { objectid: '1' }],
      ['component', { objectid: '2' }],
    ]);
    expect(build!.children.map(({ attributes }) => attributes['objectid'])).toEqual([held!.attributes['id']]);
  });

  test('coordinates are numbers of the schema and give back the same float32, however small', () => {
    const [resources] = modelOf([{ ...part, mesh: tiny }]).children;
    const mesh = resources!.children[0]!.children[0]!;
    checkMesh(mesh);
    const read = mesh.children[0]!.children.flatMap(({ attributes }) =>
      Object.values(attributes).map(Number),
    );
    expect(Float32Array.from(read)).toEqual(tiny.positions.map((value) => value + 0));
  });

  test('the same bytes twice', () => {
    expect(packed([part, supports])).toEqual(packed([part, supports]));
  });
});

import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { strFromU8, unzipSync } from 'fflate';
import { afterAll, describe, expect, it } from 'vitest';
import type { CheckReport, InspectReport } from '../../src/core/kit/report.ts';
import type { KitPlates, PlateItem, ReadyReport } from '../../src/protocol/engineApi.ts';
import { box, join as joined, meshOf, toStl, transformed, volumeOf } from '../shapes.ts';
import { kitwright, manifestHead, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** A foot with a long arm to one side: its middle is not its bounding box's, and a spin shows. */
const bracket = joined(
  transformed(box([20, 20, 12]), { shift: [10, 10, 6] }),
  transformed(box([40, 6, 12]), { shift: [39, 17, 6] }),
);
const files = {
  'parts/bracket.stl': toStl(bracket),
  'parts/block.stl': toStl(transformed(box([30, 20, 25]), { shift: [70, 5, 3] })),
  'parts/tile.stl': toStl(box([26, 26, 4])),
};
const parts = `parts:
  bracket: { file: parts/bracket.stl, wall: solid }
  block: { file: parts/block.stl, wall: solid }
  tile: { file: parts/tile.stl, wall: solid, raise: 6, supports: planned }
`;
const limits = 'limits: { pull: 1000, area-jump: 100 }\n';
const plates = `plates:
  all:
    parts:
      - { part: bracket, at: [-40, 12], spin: 90 }
      - block
      - tile
`;
const kit = writeKit(join(folder.path, 'kit'), `${manifestHead}${limits}${parts}${plates}`, files);

async function json<T>(...args: string[]): Promise<T & { code: number | null }> {
  const { out, err, code } = await kitwright([...args, '--json']);
  expect(code, err).toBeLessThan(2);
  return { ...(JSON.parse(out) as T), code };
}

interface Item {
  readonly name: string;
  readonly min: readonly number[];
  readonly max: readonly number[];
  readonly volumeMm3: number;
}

/** The build items of a 3MF file as they stand on the plate, read apart from the code that writes them. */
function itemsOf(file: string): Item[] {
  const model = strFromU8(unzipSync(readFileSync(file))['3D/3dmodel.model']!);
  expect(model).toContain('unit="millimeter"');
  const objects = new Map(
    [
      ...model.matchAll(
        /<object id="(\d+)" type="(?:model|solidsupport)" name="([^"]*)">([\s\S]*?)<\/object>/g,
      ),
    ].map(([, id, name, body]) => [id!, { name: name!, body: body! }]),
  );
  return [...model.matchAll(/<item objectid="(\d+)" transform="([^"]*)"\/>/g)].map(([, id, text]) => {
    const { name, body } = objects.get(id!)!;
    const m = text!.split(' ').map(Number);
    const positions = [...body.matchAll(/<vertex x="([^"]*)" y="([^"]*)" z="([^"]*)"\/>/g)].flatMap(
      (vertex) => {
        const [x, y, z] = vertex.slice(1).map(Number) as [number, number, number];
        return [0, 1, 2].map((axis) => x * m[axis]! + y * m[3 + axis]! + z * m[6 + axis]! + m[9 + axis]!);
      },
    );
    const triangles = [...body.matchAll(/<triangle v1="(\d+)" v2="(\d+)" v3="(\d+)"\/>/g)].flatMap((facet) =>
      facet.slice(1).map(Number),
    );
    const along = (axis: number) => positions.filter((_, at) => at % 3 === axis);
    return {
      name,
      min: [0, 1, 2].map((axis) => Math.min(...along(axis))),
      max: [0, 1, 2].map((axis) => Math.max(...along(axis))),
      volumeMm3: volumeOf(meshOf(positions, triangles)),
    };
  });
}

const itemOf = (items: readonly PlateItem[], part: string): PlateItem =>
  items.find((item) => item.part === part)!;
const named = (items: readonly Item[], name: string): Item => items.find((item) => item.name === name)!;
const expectNear = (found: readonly number[], wanted: readonly number[]): void => {
  for (const [n, value] of wanted.entries()) expect(found[n]).toBeCloseTo(value, 3);
};

describe('a plate of three parts', () => {
  it('is checked: places, sums, a line of text', async () => {
    const report = await json<CheckReport>('check', kit);
    const all = report.plates['all']!;
    expect(report.findings.filter(({ code }) => code.startsWith('plate-'))).toEqual([]);
    expect(all.parts['bracket']).toEqual({ at_mm: [-40, 12], spin_deg: 90 });
    expect(Object.values(all.parts).every((place) => place !== null)).toBe(true);
    expect(all.least_gap_mm).toBeGreaterThanOrEqual(3);
    const prints = Object.values(report.parts).map(({ print }) => print);
    expect(all.liquid_ml).toBeCloseTo(
      prints.reduce((sum, { liquid_ml }) => sum + liquid_ml, 0),
      2,
    );
    expect(all.hours).toBe(Math.max(...prints.map(({ hours }) => hours)));
    expect(all.layers).toBe(500);
    // 20 × 20 + 39 × 6 mm², and a block of 30 × 20.
    expect(report.parts['bracket']!.print.footprint_mm2).toBeCloseTo(634, -1);
    expect(report.parts['block']!.print.footprint_mm2).toBeCloseTo(600, 0);
    // The raft stands out under the tile of 26 × 26.
    expect(report.parts['tile']!.print.footprint_mm2).toBeGreaterThan(700);
    const { out } = await kitwright(['check', kit]);
    expect(out).toContain('plate all: bracket, block, tile; 25.0 mm');
  });

  it('adds up pulls: the layer pulls of its parts, layer by layer', async () => {
    const pulls = await Promise.all(
      ['bracket', 'block', 'tile'].map(async (part) => {
        const { out } = await kitwright(['layers', kit, '--part', part, '--csv']);
        return out
          .trim()
          .split('\n')
          .slice(1)
          .map((row) => Number(row.split(',')[4]));
      }),
    );
    const sums = Array.from({ length: 500 }, (_, n) => pulls.reduce((sum, pull) => sum + (pull[n] ?? 0), 0));
    const { plates: found } = await json<CheckReport>('check', kit);
    expect(found['all']!.peak_pull_n).toBeCloseTo(Math.max(...sums), 1);
    expect(sums[found['all']!.peak_pull_layer]).toBeCloseTo(Math.max(...sums), 6);
  });

  it('is written as 3MF: an item for each part and its supports, at its place, whole', async () => {
    const report = await json<ReadyReport>('make-ready', kit, '--plate', 'all');
    expect([report.code, report.written, report.refused, report.refused_plates]).toEqual([0, [], [], []]);
    const [plate] = report.plates;
    expect(plate!.file).toBe(join(kit, 'ready/all-plate.3mf'));
    expect(readdirSync(join(kit, 'ready'))).toEqual(['all-plate.3mf']);
    const items = itemsOf(plate!.file);
    expect(items.map(({ name }) => name)).toEqual(['bracket', 'block', 'tile', 'tile-supports']);
    // The bracket is 59 × 20: spun by 90° it is 20 wide. 3MF counts from the plate's front left corner.
    const found = named(items, 'bracket');
    expectNear(found.min, [96 - 40 - 10, 60 + 12 - 29.5, 0]);
    expectNear(found.max, [96 - 40 + 10, 60 + 12 + 29.5, 12]);
    expect(found.volumeMm3).toBeCloseTo((20 * 20 + 39 * 6) * 12, 0);
    const block = named(items, 'block');
    const { at_mm, spin_deg } = itemOf(plate!.items, 'block');
    const size = spin_deg % 180 === 0 ? [30, 20] : [20, 30];
    expectNear(block.min, [96 + at_mm[0] - size[0]! / 2, 60 + at_mm[1] - size[1]! / 2, 0]);
    expectNear(block.max, [96 + at_mm[0] + size[0]! / 2, 60 + at_mm[1] + size[1]! / 2, 25]);
    expect(block.volumeMm3).toBeCloseTo(15_000, 0);
    const tile = named(items, 'tile');
    const held = named(items, 'tile-supports');
    expectNear([tile.min[2]!, tile.max[2]!, held.min[2]!], [6, 10, 0]);
    // Tips bite into the part by 0.15 mm.
    expect(held.max[2]).toBeGreaterThan(6);
    expect(held.volumeMm3 / 1000).toBeCloseTo(itemOf(plate!.items, 'tile').supports!.volume_ml, 2);
    for (const { min, max } of items) {
      expect(Math.min(min[0]! - 2, min[1]! - 2, 190 - max[0]!, 118 - max[1]!)).toBeGreaterThan(-0.02);
    }
  });

  it('is written as one STL in the print frame', async () => {
    const report = await json<ReadyReport>('make-ready', kit, '--plate', 'all', '--format', 'stl');
    const [plate] = report.plates;
    const { part } = await json<InspectReport>('inspect', plate!.file);
    const volume = plate!.items.reduce((sum, item) => sum + item.volume_ml, 0);
    // The tips are inside the tile too.
    const supports = itemOf(plate!.items, 'tile').supports!.volume_ml;
    expect(part.mesh.watertight).toBe(true);
    expect(part.mesh.volume_ml).toBeLessThan(volume + supports + 0.01);
    expect(part.mesh.volume_ml).toBeGreaterThan(volume + 0.98 * supports);
    const bytes = readFileSync(plate!.file);
    expect(bytes.length).toBe(84 + 50 * bytes.readUInt32LE(80));
    let low = Infinity;
    for (let at = 84; at < bytes.length; at += 50)
      for (let corner = 0; corner < 3; corner++)
        low = Math.min(low, bytes.readFloatLE(at + 12 + 12 * corner));
    const three = itemsOf(join(kit, 'ready/all-plate.3mf'));
    expect(low).toBeCloseTo(Math.min(...three.map(({ min }) => min[0]!)) - 96, 3);
  });

  it('the same plate gives the same bytes, and parts are written beside it where they are named', async () => {
    const first = await json<ReadyReport>('make-ready', kit, '--plate', 'all');
    const again = await json<ReadyReport>(
      'make-ready',
      kit,
      '--plate',
      'all',
      '--part',
      'block',
      '--no-cache',
    );
    expect(again.plates[0]!.sha256).toBe(first.plates[0]!.sha256);
    expect(again.written.map(({ part, file }) => [part, file.endsWith('block.stl')])).toEqual([
      ['block', true],
    ]);
  });

  it('one that is not there cannot be written', async () => {
    const { code, out } = await kitwright(['make-ready', kit, '--plate', 'some', '--json']);
    expect(code).toBe(2);
    expect(JSON.parse(out).error).toMatchObject({ code: 'part-unknown' });
    expect(JSON.parse(out).error.message).toContain('no plate `some`. It has: all');
  });
});

describe('a plate with errors', () => {
  const near = `plates:
  near: { parts: [{ part: block, at: [0, 0] }, { part: bracket, at: [31, 0] }] }
  both: { parts: [block, tile] }
`;
  const faulty = writeKit(
    join(folder.path, 'faulty'),
    `${manifestHead}${limits}${parts.replace(', supports: planned', '')}${near}`,
    files,
  );

  it('is held back alone, and parts are made ready as if it were not there', async () => {
    const report = await json<ReadyReport>('make-ready', faulty, '--plate', 'near', '--part', 'block');
    expect([report.code, report.plates]).toEqual([1, []]);
    expect(report.refused_plates.map(({ plate }) => plate)).toEqual(['near']);
    expect(report.refused_plates[0]!.message).toContain('plate-overlap: bracket lies over block');
    expect(existsSync(join(faulty, 'ready/near-plate.3mf'))).toBe(false);
    const alone = await json<ReadyReport>('make-ready', faulty, '--part', 'block');
    expect([alone.code, alone.plates, alone.refused_plates]).toEqual([0, [], []]);
    const anyway = await json<ReadyReport>('make-ready', faulty, '--plate', 'near', '--even-with-errors');
    expect([anyway.code, anyway.plates.map(({ plate }) => plate)]).toEqual([0, ['near']]);
  });

  it('so is one with a part that has errors', async () => {
    const text = readFileSync(join(faulty, 'kit.yaml'), 'utf8').replace('tile.stl', 'tale.stl');
    const missing = writeKit(join(folder.path, 'missing'), text, files);
    const checked = await json<CheckReport>('check', missing);
    expect(checked.plates['both']).toBeNull();
    expect(checked.plates['near']).not.toBeNull();
    const report = await json<ReadyReport>('make-ready', missing, '--plate', 'both', '--even-with-errors');
    expect(report.refused_plates[0]!.message).toContain('tile: file-missing');
  });
});

describe('propose plates', () => {
  const text = `${manifestHead}${limits}${parts}  tower: { file: parts/tower.stl, wall: solid } # the tall one\n  wide: { file: parts/wide.stl, wall: solid, mirrored: 1 }\n`;
  const loose = writeKit(join(folder.path, 'loose'), text, {
    ...files,
    'parts/tower.stl': toStl(box([40, 40, 210])),
    'parts/wide.stl': toStl(box([180, 100, 5])),
  });

  it('puts every part that fits on few plates, in one small edit', async () => {
    const proposed = await json<KitPlates>('propose', 'plates', loose);
    expect(proposed.code).toBe(0);
    expect(Object.values(proposed.plates).map((plate) => Object.keys(plate.parts))).toEqual([
      ['bracket', 'block', 'tile'],
      ['wide'],
    ]);
    expect(proposed.left.map(({ part }) => part)).toEqual(['tower', 'wide']);
    expect(proposed.left[0]!.message).toContain('210 mm');
    expect(proposed.left[1]!.message).toContain('1 more copy');
    expect(readFileSync(join(loose, 'kit.yaml'), 'utf8')).toBe(text);
    const { code } = await json<KitPlates>('propose', 'plates', loose, '--write');
    expect(code).toBe(0);
    expect(readFileSync(join(loose, 'kit.yaml'), 'utf8')).toBe(
      `${text}plates:\n  plate-1: { parts: [bracket, block, tile] }\n  plate-2: { parts: [wide] }\n`,
    );
    const checked = await json<CheckReport>('check', loose);
    expect(checked.plates).toEqual(proposed.plates);
  });

  it('leaves alone what is on a plate', async () => {
    const again = await json<KitPlates>('propose', 'plates', loose, '--write');
    expect([again.plates, again.left.map(({ part }) => part)]).toEqual([{}, ['tower']]);
    const { out } = await kitwright(['propose', 'plates', loose]);
    expect(out).toContain('No new plate.');
  });
});

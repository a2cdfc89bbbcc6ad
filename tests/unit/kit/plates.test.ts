import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Manifest } from '../../../src/core/kit/manifest.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { kitRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { platedParts } from '../../../src/core/kit/rules/plateParts.ts';
import { layOutPlate } from '../../../src/core/plates/layOutPlate.ts';
import { plateLoads } from '../../../src/core/plates/plateLoads.ts';
import { plateLine, plateReport } from '../../../src/core/plates/plateReport.ts';
import { soundFacts } from './soundFacts.ts';

const head = `kit: The Lamplighter
scale: { factor: 1 }
parts:
  arm: { file: arm.stl }
  leg: { file: leg.stl }
  left: { file: left.stl, count: 0, mirrored: 1 }
`;
const read = (plates: string) => parseManifest(`${head}plates:\n${plates}\n`);

describe('what the text of a plate tells', () => {
  it.each<[string, string, string[]]>([
    ['parts of the kit', '  a: { parts: [arm, leg] }', []],
    ['no parts', '  a: { parts: [] }', []],
    [
      'one that is not there',
      '  a: { parts: [arm, lag] }',
      ['lag on the plate a is no part of this kit. Did you mean leg?'],
    ],
    ['one that is like none', '  a: { parts: [satchel] }', ['satchel on the plate a is no part']],
    ['one told twice', '  a: { parts: [arm, { part: arm }] }', ['arm stands twice on the plate a']],
    ['the same on two plates', '  a: { parts: [arm] }\n  b: { parts: [arm] }', []],
    [
      'a mirror image alone',
      '  a: { parts: [left] }',
      ['left on the plate a is printed as a mirror image only'],
    ],
  ])('%s', (_, plates, says) => {
    const found = read(plates).findings;
    expect(found.map(({ code, part }) => [code, part])).toEqual(says.map(() => ['plate-part-unknown', null]));
    for (const [n, text] of says.entries()) expect(found[n]!.message).toContain(text);
  });

  it('an entry that is neither a name nor a mapping', () => {
    const [finding] = read('  a: { parts: [[arm]] }').findings;
    expect(finding!.message).toBe('plates.a.parts[0] must be a name or a mapping of keys.');
  });

  it.each([
    ['a name that is no file name', '  a/b: { parts: [arm] }', 'The name a/b of a plate'],
    [
      'names alike but for case',
      '  a: { parts: [arm] }\n  A: { parts: [arm] }',
      'The name A of a plate differs from a',
    ],
  ])('%s', (_, plates, says) => {
    expect(read(plates).findings.map(({ code, message }) => [code, message.startsWith(says)])).toEqual([
      ['value-out-of-range', true],
    ]);
  });

  it('a part that is called as the file of a plate', () => {
    const { findings } = parseManifest(
      `${head}  a-plate: { file: a.stl }\nplates: { a: { parts: [arm] } }\n`,
    );
    expect(findings).toMatchObject([{ code: 'value-out-of-range', part: 'a-plate' }]);
    expect(findings[0]!.message).toContain('that of the plate a');
  });

  it('names, places and gap are read; unusable entries are left out', () => {
    const { manifest, findings } = read(
      '  a:\n    gap: 2.5\n    parts:\n      - arm\n      - { part: leg, at: [-40, 12], spin: 90 }\n      - { at: [1, 2] }\n      - 7',
    );
    expect(manifest!.plates).toEqual([
      {
        name: 'a',
        gap: 2.5,
        parts: [
          { index: 0, part: 'arm', at: null, spin: null },
          { index: 1, part: 'leg', at: [-40, 12], spin: 90 },
          { index: 3, part: '7', at: null, spin: null },
        ],
      },
    ]);
    expect(findings.map(({ code }) => code)).toEqual(['value-out-of-range', 'plate-part-unknown']);
    expect(read('  a: { parts: [arm] }').manifest!.plates[0]!.gap).toBe(3);
    expect(read('  a: { parts: [arm] }').manifest!.assumptions.map(({ key }) => key)).toContain(
      'plates.a.gap',
    );
  });
});

/** A part 40 × 30 mm on the plate, with these pulls and this much taken by layer. */
function part(pullN: number[], takenMl: number[] = pullN.map(() => 1)): PartFacts {
  const sound = soundFacts();
  const takenMm3 = Float64Array.from(takenMl, (ml) => ml * 1000);
  return {
    ...sound,
    layers: { ...sound.layers, layers: pullN.length },
    loads: { ...sound.loads, pullN: Float64Array.from(pullN), takenMm3 },
  };
}

function judged(plates: string, parts: Record<string, PartFacts>, settings = '') {
  const manifest = parseManifest(`${head}plates:\n${plates}\n${settings}`).manifest as Manifest;
  const facts = new Map(Object.entries(parts));
  const found = manifest.plates.map((plate) => {
    const own = platedParts(manifest, plate);
    const measured = own.map(({ part: name }) => facts.get(name)!);
    const task = {
      room: [manifest.machine.plate[0] - 4, manifest.machine.plate[1] - 4] as const,
      gapMm: plate.gap,
      parts: own.map(({ at, spin }, n) => ({ footprint: measured[n]!.footprint, at, spin })),
    };
    return [
      plate.name,
      { layout: layOutPlate(task, uninterrupted), loads: plateLoads(measured, manifest.machine) },
    ] as const;
  });
  const drafts = kitRules({
    manifest,
    facts,
    plates: new Map(found),
    joints: [],
    swallowed: [],
    assembled: null,
  });
  return { manifest, found, drafts };
}

const quiet = (): PartFacts => part([10, 10, 10]);

describe('what the parts of a plate together tell', () => {
  it.each<[string, string, Record<string, PartFacts>, string, object[]]>([
    ['two that fit and pull little', '  a: { parts: [arm, leg] }', { arm: quiet(), leg: quiet() }, '', []],
    [
      'no room for both',
      '  a: { parts: [arm, leg], gap: 150 }',
      { arm: quiet(), leg: quiet() },
      '',
      [
        {
          code: 'plate-overfull',
          path: ['plates', 'a'],
          measured: 1,
          limit: 2,
          unit: 'parts',
          says: 'no room for leg',
        },
      ],
    ],
    [
      'put too near to each other',
      '  a: { parts: [{ part: arm, at: [0, 0] }, { part: leg, at: [41, 0] }] }',
      { arm: quiet(), leg: quiet() },
      '',
      [
        {
          code: 'plate-overlap',
          path: ['plates', 'a', 'parts', 1],
          measured: 1,
          limit: 3,
          unit: 'mm',
          says: 'leg stands 1 mm from arm, nearer than 3 mm',
        },
      ],
    ],
    [
      'put over each other',
      '  a: { parts: [{ part: arm, at: [0, 0] }, { part: leg, at: [20, 0] }] }',
      { arm: quiet(), leg: quiet() },
      '',
      [{ code: 'plate-overlap', measured: 0, says: 'leg lies over arm' }],
    ],
    [
      'put over the edge',
      '  a: { parts: [{ part: arm, at: [80, 0] }, { part: leg, at: [0, 0], spin: 90 }] }',
      { arm: quiet(), leg: quiet() },
      '',
      [
        {
          code: 'plate-outside',
          path: ['plates', 'a', 'parts', 0],
          measured: 6,
          limit: 0,
          says: '`at: [74, 0]`',
        },
      ],
    ],
    [
      // Neither alone: 60 in layer 0 and 70 in layer 2; together 110 in layer 1, of which the leg gives 65.
      'their pulls meet in one layer',
      '  a: { parts: [arm, leg] }',
      { arm: part([60, 45, 0]), leg: part([10, 65, 70]) },
      '',
      [
        {
          code: 'plate-pull-high',
          path: ['plates', 'a'],
          layer: 1,
          measured: 110,
          limit: 100,
          unit: 'N',
          says: '65 N of it leg',
        },
      ],
    ],
    ['exactly the limit', '  a: { parts: [arm, leg] }', { arm: part([60, 40]), leg: part([10, 60]) }, '', []],
    ['one alone is told at the part', '  a: { parts: [arm] }', { arm: part([200]) }, '', []],
    [
      // 350 ml of 15 mm down to 4: 256.7 ml. A short part keeps what it has taken: 130 + 130 in layer 3.
      'the vat runs low by both, the finished one counted on',
      '  a: { parts: [arm, leg] }',
      { arm: part([1, 1], [100, 130]), leg: part([1, 1, 1, 1], [1, 2, 120, 130]) },
      '',
      [
        {
          code: 'vat-runs-low',
          path: ['plates', 'a'],
          layer: 3,
          unit: 'ml',
          says: 'the plate a, whose parts take 48 ml',
        },
      ],
    ],
  ])('%s', (_, plates, parts, settings, wanted) => {
    const { drafts } = judged(plates, parts, settings);
    expect(drafts.map(({ code }) => code)).toEqual(wanted.map((one) => (one as { code: string }).code));
    for (const [n, one] of wanted.entries()) {
      const { says, measured, ...rest } = one as { says: string; measured?: number };
      expect(drafts[n]).toMatchObject({ part: null, ...rest });
      expect(drafts[n]!.message).toContain(says);
      if (measured !== undefined) expect(drafts[n]!.measured).toBeCloseTo(measured, 2);
    }
  });

  it('the advised place is inside', () => {
    const narrow = 'machine: { plate: [191.213, 119.287] }';
    for (const at of ['[80.123, -55.5]', '[-80.127, 99]', '[-500, 0]']) {
      const { drafts } = judged(`  a: { parts: [{ part: arm, at: ${at} }] }`, { arm: quiet() }, narrow);
      const advised = /`at: (\[.*\])`/.exec(drafts[0]!.message)![1]!;
      expect(
        judged(`  a: { parts: [{ part: arm, at: ${advised} }] }`, { arm: quiet() }, narrow).drafts,
      ).toEqual([]);
    }
  });

  it('entries that are findings are left out', () => {
    const { manifest } = read('  a: { parts: [arm, arm, left, lag, leg] }');
    expect(platedParts(manifest!, manifest!.plates[0]!).map(({ index }) => index)).toEqual([0, 4]);
  });

  it('a plate of which a part was not measured is not judged', () => {
    const { manifest } = judged('  a: { parts: [arm] }', { arm: quiet() });
    expect(
      kitRules({
        manifest,
        facts: new Map([['arm', quiet()]]),
        plates: new Map(),
        joints: [],
        swallowed: [],
        assembled: null,
      }),
    ).toEqual([]);
  });
});

it('the report of a plate: hours of the tallest, sums of the others', () => {
  const parts = { arm: part([10, 20]), leg: part([1, 2, 3]) };
  const { manifest, found } = judged('  a: { parts: [arm, { part: leg, at: [50, 10], spin: 90 }] }', parts);
  const [plate] = manifest.plates;
  const report = plateReport(plate!, platedParts(manifest, plate!), found[0]![1], manifest.machine.layer);
  expect(report).toMatchObject({
    gap_mm: 3,
    layers: 3,
    height_mm: 0.15,
    resin_ml: 36,
    liquid_ml: 38,
    held_ml: 10,
    peak_pull_n: 22,
    peak_pull_layer: 1,
    vat_low_layer: null,
  });
  // Three base layers of 25 s and their motion: 7 mm up at 60 and down at 150 mm/min, a wait of 1 s.
  expect(report.hours).toBeCloseTo((3 * (25 + 7 + 2.8 + 1)) / 3600, 2);
  expect(report.parts['leg']).toEqual({ at_mm: [50, 10], spin_deg: 90 });
  expect(report.least_gap_mm).toBeGreaterThanOrEqual(3);
  expect(plateLine('a', report)).toBe('plate a: arm, leg; 0.1 mm, 0.0 h, 38 ml liquid, pull 22 N at layer 1');
});

import { describe, expect, it } from 'vitest';
import type { Manifest } from '../../../src/core/kit/manifest.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { kitRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { plateLoads } from '../../../src/core/plates/plateLoads.ts';
import { isAttended, nextAttended } from '../../../src/core/schedule/attendance.ts';
import { type PrintJob, printJobs } from '../../../src/core/schedule/printJobs.ts';
import { schedulePrints } from '../../../src/core/schedule/schedulePrints.ts';
import { scheduleReport } from '../../../src/core/schedule/scheduleReport.ts';
import { scheduleText } from '../../../src/core/schedule/scheduleText.ts';
import { timePours, waysToTopUp } from '../../../src/core/schedule/topUps.ts';
import { soundFacts } from '../kit/soundFacts.ts';

/** A column of the same section all the way: each of its layers takes as much. */
const column = (layers: number, eachMm3: number): Float64Array =>
  Float64Array.from({ length: layers }, (_, layer) => (layer + 1) * eachMm3);

/** A layer of 36 s: 100 in an hour. A vat of 300 ml that may fall to 100 ml. */
const machine = `machine: { layer: 0.1, vat: 300, resin-depth: 15, least-resin-depth: 5,
  lift: { distance: 10, up: 60, down: 60, wait: 6 }, exposure: { base: 10, base-layers: 0, normal: 10 },
  attended: [8, 22], changeover: 60 }`;

function read(rest: string): Manifest {
  const { manifest, findings } = parseManifest(`kit: x\nscale: { factor: 1 }\n${machine}\n${rest}\n`);
  expect(findings).toEqual([]);
  return manifest!;
}

/** `ml` are taken evenly over the layers; nothing is held. */
function factsOf(layers: number, ml: number): PartFacts {
  const facts = soundFacts();
  const takenMm3 = column(layers, (ml * 1000) / layers);
  return {
    ...facts,
    layers: { ...facts.layers, layers },
    loads: { ...facts.loads, liquidMm3: ml * 1000, heldMm3: 0, takenMm3 },
  };
}

function scheduled(manifest: Manifest, facts: ReadonlyMap<string, PartFacts>, startHours = 8) {
  const jobs = printJobs(manifest, facts, new Map());
  const prints = schedulePrints(jobs.jobs, manifest, startHours);
  return scheduleReport(manifest, jobs, prints, null);
}

describe('pours of a column', () => {
  // 500 ml in 1000 layers, half a millilitre each; full 300 ml, least 100 ml.
  const ways = waysToTopUp(column(1000, 500), 300_000, { fullMm3: 300_000, leastMm3: 100_000 })!;

  it('are as few as the vat allows: 500 ml less the 200 to spare are two pours of 150 ml', () => {
    expect(ways[0]!.windows).toHaveLength(2);
    expect(ways[0]!.pourMm3).toBeCloseTo(150_000, 6);
  });
  it('find room after 150 and 300 ml, and are due before 200 and 350 ml are gone', () => {
    expect(ways[0]!.windows).toEqual([
      { fromLayer: 300, byLayer: 400 },
      { fromLayer: 600, byLayer: 700 },
    ]);
  });
  it('may wait longer the more of them there are', () => {
    expect(ways.map(({ windows: [first] }) => first!.byLayer - first!.fromLayer)).toEqual([
      100, 200, 250, 280,
    ]);
  });
  it('keep the level between least and full, whenever within its window each is done', () => {
    for (const { pourMm3, windows } of ways)
      for (const at of ['fromLayer', 'byLayer'] as const) {
        for (let layer = 0; layer < 1000; layer++) {
          const poured = windows.filter((window) => window[at] <= layer).length * pourMm3;
          const before = 300_000 - layer * 500 + poured;
          expect(before).toBeLessThanOrEqual(300_000 + 1e-6);
          expect(before - 500).toBeGreaterThanOrEqual(100_000 - 1e-6);
        }
      }
  });
  it('are none where the vat suffices, and no plan where it has nothing to give', () => {
    expect(waysToTopUp(column(1000, 200), 300_000, { fullMm3: 300_000, leastMm3: 100_000 })).toEqual([]);
    expect(waysToTopUp(column(1000, 500), 300_000, { fullMm3: 300_000, leastMm3: 300_000 })).toBeNull();
    expect(waysToTopUp(column(1000, 1e6), 300_000, { fullMm3: 300_000, leastMm3: 299_000 })).toBeNull();
  });
  it('wait until what is lifted out has run back, so that the vat does not run over', () => {
    const taken = column(1000, 500);
    // 80 ml more hang in a cup between layers 250 and 450.
    for (let layer = 250; layer < 450; layer++) taken[layer]! += 80_000;
    const [few] = waysToTopUp(taken, 300_000, { fullMm3: 300_000, leastMm3: 100_000 })!;
    for (const { fromLayer } of few!.windows) expect(fromLayer).toBeGreaterThanOrEqual(240);
    const level = (layer: number) =>
      300_000 -
      taken[layer]! +
      few!.windows.filter((window) => window.fromLayer <= layer).length * few!.pourMm3;
    for (let layer = 0; layer < 1000; layer++) expect(level(layer)).toBeLessThanOrEqual(300_000 + 1e-6);
  });
  it('are done when somebody comes, another resin as late as can be', () => {
    const windows = [{ fromLayer: 300, byLayer: 400 }];
    expect(timePours(windows, (layer) => layer >= 350)).toMatchObject([{ layer: 350, attended: true }]);
    expect(
      timePours(
        windows,
        () => true,
        () => true,
      ),
    ).toMatchObject([{ layer: 400, attended: true }]);
    expect(timePours(windows, () => false)).toMatchObject([{ layer: 300, attended: false }]);
  });
});

describe('hours in which somebody is there', () => {
  const day = { fromHour: 8, toHour: 22, changeoverMin: 0 };
  const night = { fromHour: 22, toHour: 6, changeoverMin: 0 };
  it.each([
    [8, true],
    [22, true],
    [22.1, false],
    [7.9, false],
    [32, true],
    [47.5, false],
  ])('%s h by day: %s', (hours, is) => expect(isAttended(hours, day)).toBe(is));
  it('run over midnight, or all day', () => {
    expect([23, 3, 7].map((hours) => isAttended(hours, night))).toEqual([true, true, false]);
    expect(isAttended(3, { ...day, toHour: 8 })).toBe(true);
  });
  it('begin again', () => {
    expect([7, 9, 23, 47].map((hours) => nextAttended(hours, day))).toEqual([8, 9, 32, 56]);
    expect(nextAttended(7, night)).toBe(22);
  });
});

describe('a calendar', () => {
  const kit = 'parts: { a: { file: a.stl }, b: { file: b.stl } }';
  it('waits for the changeover, and starts so that a print ends while somebody is there', () => {
    // 10 h; the next 6 h could start at 19:00, and would end at 1:00.
    const report = scheduled(
      read(kit),
      new Map([
        ['a', factsOf(1000, 10)],
        ['b', factsOf(600, 10)],
      ]),
    );
    expect(report.prints.map(({ start_h, end_h }) => [start_h, end_h])).toEqual([
      [8, 18],
      [32, 38],
    ]);
    expect(report).toMatchObject({ hours: 16, span_h: 30 });
  });
  it('leaves time for the changeover', () => {
    const report = scheduled(
      read(kit),
      new Map([
        ['a', factsOf(1000, 10)],
        ['b', factsOf(300, 10)],
      ]),
    );
    expect(report.prints[1]).toMatchObject({ start_h: 19, end_h: 22 });
  });
  it('lets one start in the evening that ends in the morning', () => {
    // 10 h until 18:00; 13 h from 19:00 end at 8:00.
    const report = scheduled(
      read(kit),
      new Map([
        ['a', factsOf(1000, 10)],
        ['b', factsOf(1300, 10)],
      ]),
    );
    expect(report.prints[1]).toMatchObject({ start_h: 19, end_h: 32, ends_attended: true });
  });
  it('tells what must fall into the night', () => {
    const short = read(`${kit}\n`);
    const manifest = { ...short, attendance: { fromHour: 8, toHour: 12, changeoverMin: 60 } };
    const report = scheduled(manifest, new Map([['a', factsOf(1000, 10)]]));
    expect(report.prints[0]).toMatchObject({ start_h: 8, ends_attended: false });
    expect(report.prints[0]!.notes[0]).toContain('ends in hours in which nobody is there');
  });
  it('has top-ups by layer, height and clock', () => {
    const report = scheduled(read(kit), new Map([['a', factsOf(1000, 500)]]));
    expect(report.prints[0]!.top_ups).toMatchObject([
      { before_layer: 300, from_layer: 300, by_layer: 400, z_mm: 30, into_h: 3, at_h: 11, pour_ml: 150 },
      { before_layer: 600, from_layer: 600, by_layer: 700, z_mm: 60, into_h: 6, at_h: 14, pour_ml: 150 },
    ]);
  });
  it('starts, or pours once more, so that nobody has to get up', () => {
    // 40 h and 500 ml: the fewest pours fall 12 to 16 h and 24 to 28 h after the start.
    const report = scheduled(read(kit), new Map([['a', factsOf(4000, 500)]]));
    for (const { attended, at_h } of report.prints[0]!.top_ups) {
      expect(attended).toBe(true);
      expect(at_h % 24).toBeGreaterThanOrEqual(8);
      expect(at_h % 24).toBeLessThanOrEqual(22);
    }
    expect(report.prints[0]!.ends_attended).toBe(true);
  });
});

describe('bottles', () => {
  const kit = (resins: string) =>
    read(
      `resins: { ${resins} }\ndefaults: { resin: slate }\nparts: { a: { file: a.stl, count: 2, mirrored: 1 } }`,
    );
  it('give liquid and waste, at their price', () => {
    const report = scheduled(
      kit('slate: { on-hand: 1000, price: 40, waste: 10 }'),
      new Map([['a', factsOf(100, 100)]]),
    );
    expect(report.prints.map(({ used_ml, left_ml, cost, copy }) => [used_ml, left_ml, cost, copy])).toEqual([
      [110, 890, 4.4, { number: 1, of: 3, mirrored: false }],
      [110, 780, 4.4, { number: 2, of: 3, mirrored: false }],
      [110, 670, 4.4, { number: 3, of: 3, mirrored: true }],
    ]);
    expect(report).toMatchObject({
      cost: 13.2,
      resins: { slate: { used_ml: 330, left_ml: 670, cost: 13.2 } },
    });
  });
  const ending = kit(
    'slate: { on-hand: 400, price: 40, waste: 0 }, granite: { on-hand: 900, price: 20, waste: 0 }',
  );
  const facts = new Map([['a', factsOf(1000, 250)]]);
  it('end within a print: 150 ml of 400 are left for the second, 100 of them must stay in the vat', () => {
    const report = scheduled(ending, facts);
    // A quarter of a millilitre a layer: 50 ml last 200 layers.
    expect(report.prints[1]).toMatchObject({
      resin_change: { layer: 200, z_mm: 20, to: 'granite' },
      left_ml: 0,
      cost: 8,
    });
    expect(report.prints[1]!.top_ups[0]).toMatchObject({ before_layer: 200, of_other_ml: 200, pour_ml: 200 });
    expect(report.resins).toMatchObject({ granite: { used_ml: 100, left_ml: 800 } });
    expect(report.prints[0]!.resin_change).toBeNull();
    expect(scheduleText(report)).toContain('slate lasts to layer 200 (20.00 mm) at most; granite next');
  });
  it('are told as a finding, once for the copies of a part', () => {
    const told = kitRules({
      manifest: ending,
      facts,
      plates: new Map(),
      joints: [],
      swallowed: [],
      assembled: null,
    });
    expect(told.map(({ code }) => code)).toEqual(['resin-short', 'resin-changes']);
    expect(told[1]).toMatchObject({ part: 'a', layer: 200, measured: 250, limit: 150, path: ['parts', 'a'] });
    expect(told[1]!.message).toContain('printed with granite in it');
  });
  const bottles = (onHand: string, of = facts) =>
    scheduled(kit(`slate: { on-hand: ${onHand}, waste: 0 }`), of);
  const openings = (onHand: string) =>
    bottles(onHand).prints.map((print) => print.bottles.map((one) => [one.number, one.before_layer]));
  it('are opened one after the other: before the vat is filled, or before the layer of a top-up', () => {
    // Three prints take 250 ml each; the vat is filled with 300 ml and gets 50 more.
    expect(openings('1000')).toEqual([[], [], []]);
    expect(openings('[1000]')).toEqual([[], [], []]);
    // 300 + 50 are within 400; then 250 are gone, and 300 more are not.
    expect(openings('[400, 500]')).toEqual([[], [[2, null]], []]);
    // 300 + 50 are more than 320; then 250 + 300 are within 570, and 50 more are not.
    const [first, second, third] = bottles('[320, 250, 1000]').prints;
    const layer = first!.top_ups[0]!.before_layer;
    expect(layer).toBeGreaterThanOrEqual(200);
    expect(layer).toBeLessThanOrEqual(800);
    expect(first!.bottles).toEqual([
      { number: 2, of: 3, ml: 250, before_layer: layer, z_mm: expect.closeTo(layer / 10, 3) },
    ]);
    expect(second!.bottles.map(({ number, before_layer }) => [number, before_layer])).toEqual([
      [3, second!.top_ups[0]!.before_layer],
    ]);
    expect(third!.bottles).toEqual([]);
    // Small ones are opened two at once.
    expect(openings('[100, 100, 900]')[0]).toEqual([
      [2, null],
      [3, null],
    ]);
  });
  it('are told by print and layer, and count together', () => {
    const report = bottles('[320, 250, 1000]');
    const text = scheduleText(report);
    expect(text).toContain('bottle 2 of 3 of slate (250 ml) must be at hand before layer');
    expect(text).toContain('1570 (320 + 250 + 1000)');
    expect(report.resins['slate']).toMatchObject({
      on_hand_ml: 1570,
      bottles_ml: [320, 250, 1000],
      left_ml: 820,
    });
    expect(scheduleText(bottles('[400, 500]'))).toContain('(500 ml) must be at hand before it starts');
    const short = kitRules({
      manifest: kit('slate: { on-hand: [320, 250], waste: 0 }'),
      facts,
      plates: new Map(),
      joints: [],
      swallowed: [],
      assembled: null,
    });
    expect(short.find(({ code }) => code === 'resin-short')).toMatchObject({ measured: 750, limit: 570 });
  });
  it.each(['[]', '[-1]', '[many]', `[${Array(51).fill(1)}]`])('cannot be %s', (onHand) => {
    const { findings } = parseManifest(`kit: x\nresins: { slate: { on-hand: ${onHand} } }\nparts: {}\n`);
    expect(findings.map(({ code }) => code)).toContain('value-out-of-range');
  });
  it('that nobody counted never end', () => {
    const report = scheduled(kit('slate: {}'), facts);
    expect(report.prints.map(({ resin_change, left_ml, cost }) => [resin_change, left_ml, cost])).toEqual(
      Array(3).fill([null, null, null]),
    );
  });
});

it('prints plates first, and of a part on a plate the other copies', () => {
  const manifest = read(
    'parts: { a: { file: a.stl, count: 2 }, b: { file: b.stl } }\nplates: { both: { parts: [a, b] } }',
  );
  const facts = new Map([
    ['a', factsOf(100, 10)],
    ['b', factsOf(200, 30)],
  ]);
  const loads = plateLoads([...facts.values()], manifest.machine);
  const plates = new Map([
    ['both', { layout: { places: [], tooNear: [], outside: [], nearest: null }, loads }],
  ]);
  const { jobs, left } = printJobs(manifest, facts, plates);
  const named = (job: PrintJob) => [job.kind, job.name, job.layers, job.liquidMm3 / 1000];
  expect(jobs.map(named)).toEqual([
    ['plate', 'both', 200, 40],
    ['part', 'a', 100, 10],
  ]);
  // The shorter part stays taken: 10 ml of it and half of the other after its 100 layers.
  expect(jobs[0]!.takenMm3[99]).toBeCloseTo(25_000, 6);
  expect(jobs[0]!.takenMm3[199]).toBeCloseTo(40_000, 6);
  expect(left).toEqual([]);
  expect(printJobs(manifest, new Map(), new Map()).left.map(({ name }) => name)).toEqual(['both', 'a']);
});

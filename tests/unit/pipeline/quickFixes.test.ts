import { describe, expect, it } from 'vitest';
import type { FindingCode } from '../../../src/core/kit/findingTable.ts';
import type { Fix } from '../../../src/core/kit/fixes.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { openingCodes } from '../../../src/core/propose/judgement.ts';
import { box, cup, lathe, sphere } from '../../shapes.ts';
import { kitOfOne } from './kitOfOne.ts';

/*
 * Every finding about openings and hollows on a small body, and what is offered against it. Each offer is
 * made as the editor makes it (what has to be looked for is looked for) and the text is checked again: the
 * finding must be gone.
 */

const textWith = (partKeys: string, kitKeys: string): string => `kit: The Lamplighter
scale: { factor: 1 }
machine: { layer: 0.2 }   # coarse
${kitKeys}
parts:
  # cast from a real one
  lantern: { file: body.stl, ${partKeys} }   # by the door
`;

const globe = sphere(12, 64);
const low = '{ at: [0, 0, -12], diameter: 5 }';
const high = '{ at: [0, 0, 12], diameter: 5 }';
const front = '{ outline: [[-6, -12, -9], [6, -12, -9], [6, -12, 9], [-6, -12, 9]], facing: [0, -1, 0] }';
/** Balls of 14 and 9 mm on each other, with a neck of 4 mm: a thick wall leaves too little hollow in the small one. */
function twoBalls(): Mesh {
  const arc = (radius: number, z: number, from: number, to: number): [number, number][] =>
    Array.from({ length: 25 }, (_, n) => {
      const angle = from + ((to - from) * n) / 24;
      return [Math.abs(radius * Math.sin(angle)), z - radius * Math.cos(angle)];
    });
  const [large, small] = [Math.asin(4 / 14), Math.asin(4 / 9)];
  return lathe([...arc(14, 0, 0, Math.PI - large), ...arc(9, 22, small, Math.PI)], 64);
}

interface Row {
  readonly code: FindingCode;
  readonly body: Mesh;
  readonly part: string;
  readonly kit?: string;
  readonly offers: readonly string[];
}

const place = 'Move the vent 0 to the nearest good place…';
const propose = 'Propose openings for lantern';
const remove = 'Remove the vent 0';
const wall = 'Find a wall that works…';
const solid = 'Print the part solid';

const rows: readonly Row[] = [
  { code: 'chamber-without-opening', body: globe, part: 'raise: 5', offers: [propose, solid] },
  { code: 'single-opening', body: globe, part: `raise: 5, vents: [${low}]`, offers: [propose] },
  {
    code: 'single-opening',
    body: globe,
    part: 'raise: 5, vents: [{ at: [12, 0, 0], diameter: 5 }, { at: [-12, 0, 0], diameter: 5 }]',
    offers: [propose],
  },
  {
    code: 'opening-misses-chamber',
    body: globe,
    part: `raise: 5, vents: [{ at: [0, 0, -12], diameter: 5, depth: 1 }, ${high}]`,
    offers: ['Drill the vent 0 3 mm deep', remove],
  },
  {
    // The hollow is 0.6 mm high: the usual depth would hit its far side.
    code: 'opening-misses-chamber',
    body: box([30, 30, 3.6]),
    part: 'turn: [90, 0, 0], vents: [{ at: [0, 0, -1.8], diameter: 3, depth: 1 }]',
    kit: 'limits: { least-chamber: 0.1 }',
    offers: ['Drill the vent 0 1.8 mm deep', remove],
  },
  {
    code: 'opening-misses-chamber',
    body: globe,
    part: `raise: 5, vents: [{ at: [0, 0, -12], diameter: 5, toward: [0, 0, -1] }, ${high}]`,
    offers: [place, remove, propose],
  },
  { code: 'opening-misses-chamber', body: globe, part: `wall: solid, vents: [${low}]`, offers: [remove] },
  {
    code: 'opening-misses-chamber',
    body: globe,
    part: `wall: 11.9, vents: [${low}]`,
    offers: [remove, wall],
  },
  {
    code: 'opening-through',
    body: globe,
    part: `raise: 5, vents: [{ at: [0, 0, -12], diameter: 5, depth: 60 }, ${high}]`,
    offers: ['Drill the vent 0 21.5 mm deep', remove],
  },
  {
    code: 'opening-through',
    body: box([30, 30, 3.6]),
    part: 'turn: [90, 0, 0], vents: [{ at: [0, 0, -1.8], diameter: 3 }]',
    kit: 'limits: { least-chamber: 0.1 }',
    offers: ['Drill the vent 0 1.8 mm deep', remove],
  },
  {
    code: 'opening-off-surface',
    body: globe,
    part: `raise: 5, vents: [{ at: [0, 0, -17], diameter: 5 }, ${high}]`,
    offers: ['Move the vent 0 to the surface', place, remove, propose],
  },
  {
    code: 'opening-near-wall',
    body: box([30, 30, 40]),
    part: 'turn: [30, 20, 0], raise: 5, vents: [{ at: [0, 10.8, -20], diameter: 6 }, { at: [0, 0, 20], diameter: 6 }]',
    offers: [place, 'Make the vent 0 5 mm wide', propose],
  },
  {
    code: 'opening-on-show-side',
    body: globe,
    part: `raise: 5, show: [${front}], vents: [{ at: [0, -9.6, -7.2], diameter: 4 }, ${low}, ${high}]`,
    offers: [place, propose],
  },
  {
    code: 'resin-trapped',
    body: globe,
    part: `raise: 5, vents: [${low}, { at: [12, 0, 0], diameter: 5 }]`,
    kit: 'limits: { trapped: 0.1 }',
    offers: [propose],
  },
  {
    code: 'liquid-trapped',
    body: globe,
    part: `raise: 5, wash: [0, 0, 0], vents: [${high}, { at: [12, 0, 0], diameter: 5 }]`,
    offers: ['Set wash to [180, 0, 0]: held so, it runs empty', propose],
  },
  {
    // So narrow that surface tension holds what stands in them.
    code: 'liquid-trapped',
    body: globe,
    part: 'raise: 5, vents: [{ at: [0, 0, 12], diameter: 1.2 }, { at: [0, 0, -12], diameter: 1.2 }]',
    offers: ['Make the vent 1 5 mm wide', propose],
  },
  {
    code: 'hard-to-rinse',
    body: globe,
    part: 'raise: 5, vents: [{ at: [0, 0, 12], diameter: 2 }, { at: [0, 0, -12], diameter: 2 }]',
    offers: ['Make the vent 0 3 mm wide', propose],
  },
  {
    code: 'hard-to-cure',
    body: globe,
    part: 'raise: 5, vents: [{ at: [0, 0, 12], diameter: 1.2 }, { at: [0, 0, -12], diameter: 1.2 }]',
    offers: ['Make the vent 0 6 mm wide', propose],
  },
  {
    code: 'sealed-cup',
    body: globe,
    part: `raise: 5, vents: [{ at: [12, 0, 0], diameter: 5 }, ${high}]`,
    offers: [propose],
  },
  {
    code: 'breathes-late',
    body: globe,
    part: `raise: 5, vents: [{ at: [0, 0, -12], diameter: 2 }, ${high}]`,
    kit: 'limits: { suction: 0.05, breathe-layers: 5 }',
    offers: ['Make the vent 0 3.5 mm wide', propose],
  },
  {
    code: 'light-meets-opening',
    body: globe,
    part: `raise: 5, vents: [{ at: [0, -12, 0], diameter: 3 }, ${low}, ${high}]`,
    kit: 'lights: { wire: { path: [[-20, -6, 0], [20, -6, 0]], diameter: 3, through: [lantern] } }',
    offers: [place, propose],
  },
  { code: 'contact-cut', body: globe, part: `vents: [${low}, ${high}]`, offers: [place, propose] },
  { code: 'too-thin-to-hollow', body: globe, part: 'wall: 11.9', offers: [solid, wall] },
  {
    code: 'too-thin-to-hollow',
    body: globe,
    part: 'keep-solid: [{ at: [0, 0, 0], radius: 15 }]',
    offers: [solid],
  },
  {
    // The least wall is as thick as the deepest place: none can be looked for.
    code: 'too-thin-to-hollow',
    body: box([20, 20, 1.1]),
    part: 'raise: 5',
    offers: [solid],
  },
  { code: 'chamber-left-solid', body: globe, part: 'wall: 9', offers: [wall, solid] },
  { code: 'lump-solid', body: twoBalls(), part: 'wall: 6', offers: [wall] },
  { code: 'wall-thin', body: globe, part: 'wall: 0.4', offers: ['Give it a wall of 0.7 mm'] },
  {
    code: 'keep-solid-idle',
    body: globe,
    part: 'keep-solid: [{ at: [60, 0, 0], radius: 3 }]',
    offers: ['Remove this region'],
  },
  {
    code: 'wall-flexes',
    body: box([50, 50, 50]),
    part: 'turn: [35, 30, 0], raise: 5, vents: [{ at: [20, 0, -25], diameter: 2 }, { at: [0, 0, 25], diameter: 5 }]',
    offers: [propose, 'Give it a wall of 2.7 mm'],
  },
  {
    code: 'pull-high',
    body: globe,
    part: `raise: 5, vents: [${high}]`,
    kit: 'limits: { pull: 30 }',
    offers: [propose],
  },
];

/** Another pose, or a cut, is for the builder to choose among several; none promises that a finding goes. */
const ofOpenings = ({ asks }: Fix): boolean =>
  !['propose-pose', 'propose-split'].includes(asks?.ask.kind ?? '');

/** Where no change of the manifest's openings or wall helps, nothing is offered. */
const beyondHelp: readonly (Omit<Row, 'offers'> & { readonly why: string })[] = [
  {
    code: 'sealed-cup',
    body: cup(15, 12, 20, 3),
    part: 'turn: [180, 0, 0], wall: solid',
    why: 'the sculpt itself is the cup, and the plate closes it',
  },
  {
    code: 'breathes-late',
    body: box([80, 80, 20]),
    part: 'raise: 5, vents: [{ at: [0, -40, -6], diameter: 6 }, { at: [0, 40, 6], diameter: 6 }]',
    kit: 'limits: { breathe-layers: 3, suction: 2 }',
    why: 'the flat floor squeezes the resin: another pose helps, no vent',
  },
  {
    code: 'pull-high',
    body: globe,
    part: 'wall: solid',
    kit: 'limits: { pull: 3 }',
    why: 'it is the peel of solid',
  },
  {
    code: 'chamber-left-solid',
    body: twoBalls(),
    part: 'wall: 6',
    why: 'it is the speck beside a chamber, and told for knowledge',
  },
];

const found = (findings: readonly { readonly code: FindingCode }[]): string[] =>
  findings.map(({ code }) => code);

describe('what is offered makes the finding go', () => {
  it.each(rows)(
    '$code: $part',
    { timeout: 120_000 },
    async ({ code, body, part, kit: kitKeys = '', offers }) => {
      const kit = kitOfOne(body);
      const text = textWith(part, kitKeys);
      const before = await kit.check(text);
      const finding = before.find((each) => each.code === code);
      expect(finding, found(before).join(' ')).toBeDefined();
      const fixes = kit.fixes(text, finding!).filter(ofOpenings);
      expect(fixes.map(({ title }) => title)).toEqual(offers);
      for (const fix of fixes) {
        const after = await kit.fixed(text, fix);
        expect(after, fix.title).not.toBeNull();
        expect(after!.match(/#.*/g), fix.title).toEqual(text.match(/#.*/g));
        const then = found(await kit.check(after!));
        expect(then, fix.title).not.toContain(code);
        // A place is good only where nothing else is said instead.
        if (fix.title === place) expect(found(before)).toEqual(expect.arrayContaining(then));
      }
      kit.remove();
    },
  );

  it('holds of every finding about openings', () => {
    const told = new Set(rows.map(({ code }) => code));
    expect([...openingCodes].filter((code) => !told.has(code))).toEqual([]);
  });
});

it.each(beyondHelp)(
  '$code: nothing is offered where $why',
  async ({ code, body, part, kit: kitKeys = '' }) => {
    const kit = kitOfOne(body);
    const text = textWith(part, kitKeys);
    const before = await kit.check(text);
    const finding = before.find((each) => each.code === code);
    expect(finding, found(before).join(' ')).toBeDefined();
    expect(kit.fixes(text, finding!).filter(ofOpenings)).toEqual([]);
    kit.remove();
  },
  60_000,
);

import { describe, expect, it } from 'vitest';
import type { RefusedKey } from '../../../src/core/cut/seam.ts';
import type { FindingDraft } from '../../../src/core/kit/finding.ts';
import { type FindingCode, findingTable } from '../../../src/core/kit/findingTable.ts';
import type { Manifest, Part } from '../../../src/core/kit/manifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { partFailed } from '../../../src/core/kit/rules/fileMissing.ts';
import { kitRules, partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import type { RaftOutside, Support, SupportFacts } from '../../../src/core/supports/supportPlan.ts';
import { decision } from '../supports/supported.ts';
import { contextOf, cup, filmDrain, island, opening, soundFacts, stretch, wallLoad } from './soundFacts.ts';

const contact = (change: Partial<Support['contact']>): Support['contact'] => ({
  at: [0, 0, 1],
  layer: 20,
  isStart: true,
  onShow: false,
  byHand: null,
  leastMm: 0.4,
  ...change,
});

const support = (change: Partial<Support>): Support => ({
  contact: contact({}),
  tipMm: 0.4,
  loadN: 1,
  loadLayer: 30,
  line: [
    [0, 0, 0.5],
    [0, 0, 0],
  ],
  strutMm: 1,
  stands: 'plate',
  freeMm: 0.5,
  slender: false,
  trims: [],
  ...change,
});

const outside = (change: Partial<RaftOutside>): RaftOutside => ({
  unheld: 0,
  standing: 0,
  beyondMm: 3.2,
  at: [90, 0, 6],
  layer: 120,
  roomMm: [198, 100],
  turnZ: null,
  ...change,
});

/** With supports planned. */
const held =
  (change: Partial<SupportFacts>) =>
  (facts: PartFacts): PartFacts => ({
    ...facts,
    supports: {
      supports: [],
      ties: [],
      unreached: [],
      idle: [],
      offPlate: [],
      outside: null,
      reserve: new Float64Array(facts.layers.layers).fill(9),
      worst: null,
      spacingMm: 4,
      heldSlopeDeg: 30,
      volumeMm3: 100,
      ...change,
    },
  });

const plannedCut: Part['cuts'][number] = {
  name: 'waist',
  side: 'back',
  cut: {
    at: [0, 0, 0],
    toward: [0, 0, 1],
    keys: { count: 2 },
    key: { diameter: 6, length: 8, taper: 2, wall: 1.5 },
    clearance: 0.15,
    passages: [],
    lights: [],
  },
};

const refusedKey = (change: Partial<RefusedKey>): RefusedKey => ({
  index: null,
  count: 1,
  reason: 'thin',
  at: null,
  diameterMm: 6,
  fitsMm: null,
  ...change,
});

interface Case {
  readonly code: FindingCode;
  readonly why: string;
  readonly facts?: (facts: PartFacts) => PartFacts;
  readonly part?: Partial<Part>;
  readonly limits?: Partial<Manifest['limits']>;
  readonly measured?: number;
  readonly limit?: number;
  readonly says?: string;
  readonly at?: readonly number[];
  readonly path?: (string | number)[];
}

type Changes<T> = { readonly [K in keyof T]?: T[K] };
const mesh = (change: Changes<PartFacts['mesh']>) => (facts: PartFacts) => ({
  ...facts,
  mesh: { ...facts.mesh, ...change },
});
const hollow = (change: Changes<PartFacts['hollow']>) => (facts: PartFacts) => ({
  ...facts,
  hollow: { ...facts.hollow, ...change },
});
const trueWall = (change: Changes<PartFacts['trueWall']>) => (facts: PartFacts) => ({
  ...facts,
  trueWall: { ...facts.trueWall, ...change },
});
const layers = (change: Changes<PartFacts['layers']>) => (facts: PartFacts) => ({
  ...facts,
  layers: { ...facts.layers, ...change },
});
const loads = (change: Changes<PartFacts['loads']>) => (facts: PartFacts) => ({
  ...facts,
  loads: { ...facts.loads, ...change },
});
const openings =
  (...list: PartFacts['openings']) =>
  (facts: PartFacts) => {
    const isReplaced = (id: string) => list.some(({ decision }) => decision.id === id);
    const others = facts.hollow.chambers.length === 0 ? [] : facts.openings;
    return { ...facts, openings: [...list, ...others.filter(({ decision }) => !isReplaced(decision.id))] };
  };
const stepped =
  (...areas: number[]) =>
  (facts: PartFacts) =>
    loads({ areaMm2: Float64Array.from(areas) })(
      layers({ area: Float64Array.from(areas), layers: areas.length })(facts),
    );
const body = soundFacts().mesh.shells[0]!;

const firing: Case[] = [
  {
    code: 'outside-plate',
    why: 'too long in y by 12 mm, and 90° would help',
    facts: mesh({ sizeMm: [100, 128, 40] }),
    measured: 128,
    limit: 116,
    says: 'torso is 12 mm too long in y: 128 mm on a plate of 120 mm with 2 mm kept free at each edge. Turned by 90° about z it fits.',
    path: ['parts', 'torso'],
  },
  {
    code: 'outside-plate',
    why: 'too long in x',
    facts: mesh({ sizeMm: [190, 30, 40] }),
    measured: 190,
    limit: 188,
    says: '2 mm too long in x',
  },
  {
    code: 'too-tall',
    why: 'ends above the machine',
    facts: mesh({ bounds: { min: [0, 0, 5], max: [1, 1, 203.5] } }),
    measured: 203.5,
    limit: 200,
    says: '3.5 mm too tall in z',
  },
  {
    code: 'cut-misses',
    why: 'the part lies on one side',
    part: { cuts: [plannedCut] },
    facts: mesh({ seams: [{ misses: true, areaMm2: 0, keys: [], refused: [] }] }),
    says: 'The plane of waist does not pass through torso',
    path: ['parts', 'torso', 'cut', 'waist'],
  },
  {
    code: 'key-without-room',
    why: 'one of those asked for has none',
    part: { cuts: [plannedCut] },
    facts: mesh({
      seams: [{ misses: false, areaMm2: 80, keys: [], refused: [refusedKey({ count: 1, fitsMm: 4.5 })] }],
    }),
    measured: 6,
    limit: 4.5,
    says: 'has no room for 1 key of those asked for, 6 mm wide; it is left out. There is room for all of them up to 4.5 mm wide',
    path: ['cuts', 'waist', 'keys'],
  },
  {
    code: 'key-without-room',
    why: 'a place outside the section',
    part: { cuts: [plannedCut] },
    facts: mesh({
      seams: [
        {
          misses: false,
          areaMm2: 80,
          keys: [],
          refused: [refusedKey({ index: 1, reason: 'outside', at: [1, 2, 3] })],
        },
      ],
    }),
    measured: 6,
    at: [1, 2, 3],
    says: 'Key 1 of waist, 6 mm wide, stands outside the section and is left out. Move it into the section.',
    path: ['cuts', 'waist', 'keys', 1],
  },
  {
    code: 'not-watertight',
    why: 'could not be mended',
    facts: (facts) =>
      mesh({ sound: false, topology: { ...facts.mesh.topology, openEdges: 7, misorientedEdges: 2 } })(facts),
    measured: 9,
    limit: 0,
    says: '7 open, 0 non-manifold and 2 misoriented edges',
    path: ['parts', 'torso', 'file'],
  },
  {
    code: 'mesh-repaired',
    why: 'mended',
    facts: mesh({ repaired: ['2 holes closed'] }),
    says: '2 holes closed',
  },
  { code: 'inside-out', why: 'turned', facts: mesh({ insideOut: true }) },
  {
    code: 'doubled-wall',
    why: 'stands twice',
    facts: mesh({ doubledWalls: [{ areaMm2: 80, gapMm: 0.4, at: [1, 2, 3] }] }),
    measured: 0.4,
    limit: 1.5,
    says: 'over 80 mm², 0.4 mm apart',
  },
  {
    code: 'loose-shell',
    why: 'two groups',
    facts: mesh({ shells: [body, { ...body, volume: 2500, group: 1 }] }),
    measured: 2,
    limit: 1,
    says: '2.5 ml',
  },
  {
    code: 'too-thin-to-hollow',
    why: 'no chamber at all',
    facts: (facts) =>
      loads({ cups: [], trappedMm3: [], chamberOpenings: [] })(
        openings()(hollow({ chambers: [], deepestMm: 1.2 })(facts)),
      ),
    measured: 1.2,
    limit: 1.5,
    says: 'deepest point lies 1.2 mm under the surface',
    path: ['parts', 'torso', 'wall'],
  },
  {
    code: 'too-thin-to-hollow',
    why: 'nothing but specks of a hollow',
    facts: (facts) =>
      loads({ cups: [], trappedMm3: [], chamberOpenings: [] })(
        openings()(
          hollow({ chambers: [], leftSolid: [{ volumeMm3: 3, centroid: [0, 0, 9] }], deepestMm: 1.6 })(facts),
        ),
      ),
    measured: 1.6,
    limit: 1.5,
  },
  {
    code: 'chamber-left-solid',
    why: 'a small hollow',
    facts: hollow({ leftSolid: [{ volumeMm3: 300, centroid: [1, 2, 3] }] }),
    measured: 0.3,
    limit: 0.5,
  },
  {
    code: 'wall-thin',
    why: 'the wall asked for is under the limit',
    facts: hollow({ thinnest: { wallMm: 0.48, at: [1, 2, 3] } }),
    path: ['parts', 'torso', 'wall'],
    at: [1, 2, 3],
    measured: 0.48,
    limit: 0.6,
    says: '0.48 mm',
  },
  {
    code: 'wall-thin',
    why: 'two sheets of the sculpt, the smaller one thinner; a third is no more than an edge',
    facts: trueWall({
      sheets: [
        { thicknessMm: 0.5, areaMm2: 40, at: [1, 2, 3] },
        { thicknessMm: 0.3, areaMm2: 12, at: [4, 5, 6] },
        { thicknessMm: 0.1, areaMm2: 9, at: [7, 8, 9] },
      ],
    }),
    at: [1, 2, 3],
    measured: 0.3,
    limit: 0.6,
    says: '2 sheets of the sculpt of torso over 52 mm²',
  },
  {
    code: 'lump-solid',
    why: 'one of two is thick',
    facts: hollow({
      lumps: [
        { thicknessMm: 12, volumeMm3: 400, at: [1, 2, 3] },
        { thicknessMm: 9, volumeMm3: 300, at: [4, 5, 6] },
      ],
    }),
    at: [1, 2, 3],
    measured: 12,
    limit: 10,
    says: '0.4 ml was left solid',
  },
  {
    code: 'thin-web',
    why: 'a web between two hollows',
    facts: trueWall({ webs: [{ thicknessMm: 0.4, areaMm2: 30, at: [1, 2, 3] }] }),
    at: [1, 2, 3],
    measured: 0.4,
    limit: 0.6,
    says: 'over 30 mm²',
  },
  {
    code: 'spike-inside',
    why: 'two needles',
    facts: trueWall({
      spikes: [
        { thicknessMm: 0.55, areaMm2: 30, at: [1, 2, 3] },
        { thicknessMm: 0.4, areaMm2: 3, at: [4, 5, 6] },
      ],
    }),
    at: [1, 2, 3],
    measured: 0.4,
    limit: 0.6,
    says: '2 fins or needles',
  },
  {
    code: 'loose-inside',
    why: 'a bead in the hollow; specks of the field are none',
    facts: trueWall({
      loose: [
        { volumeMm3: 250, at: [1, 2, 3], chamber: 0 },
        { volumeMm3: 0.4, at: [4, 5, 6], chamber: 0 },
      ],
    }),
    at: [1, 2, 3],
    measured: 250,
    limit: 1,
    says: '0.25 ml',
  },
  {
    code: 'keep-solid-idle',
    why: 'one of two regions lies beside every hollow',
    facts: hollow({
      kept: [
        { index: 0, volumeMm3: 300, centroid: [1, 2, 3] },
        { index: 2, volumeMm3: 0.5, centroid: [4, 5, 6] },
      ],
    }),
    path: ['parts', 'torso', 'keep-solid', 2],
    at: [4, 5, 6],
    measured: 0.5,
    limit: 1,
    says: 'keep-solid 2 of torso',
  },
  {
    code: 'too-thin-to-hollow',
    why: 'all of it is kept solid',
    facts: (facts) =>
      openings()(
        hollow({ chambers: [], deepestMm: 15, kept: [{ index: 0, volumeMm3: 30000, centroid: [0, 0, 20] }] })(
          loads({ chamberOpenings: [], trappedMm3: [] })(facts),
        ),
      ),
    path: ['parts', 'torso', 'keep-solid'],
    says: 'leaves nothing to hollow',
  },
  {
    code: 'chamber-without-opening',
    why: 'no opening',
    facts: loads({ chamberOpenings: [[]] }),
    measured: 0,
    limit: 2,
    says: '30 ml',
  },
  {
    code: 'single-opening',
    why: 'one opening',
    facts: loads({ chamberOpenings: [['drains/0']] }),
    measured: 1,
    limit: 2,
    path: ['parts', 'torso', 'drains', 0],
  },
  {
    code: 'single-opening',
    why: 'two at the plate end, 5 mm apart',
    facts: openings(opening({}), filmDrain(5)),
    measured: 5,
    limit: 6,
    says: 'All 2 openings of a chamber of 30 ml lie within 5 mm of one height, less than a diameter of 6 mm; give it one at its film end',
    path: ['parts', 'torso', 'vents', 0],
  },
  {
    code: 'single-opening',
    why: 'two at the film end',
    facts: (facts) => {
      const high = filmDrain(35).placed;
      return openings(opening({ placed: { ...high!, id: 'vents/0' } }), filmDrain(38))(facts);
    },
    measured: 3,
    says: 'give it one at its plate end',
  },
  {
    code: 'resin-trapped',
    why: 'above limits.trapped',
    facts: loads({ trappedMm3: [5100] }),
    measured: 5.1,
    limit: 5,
  },
  {
    code: 'opening-off-surface',
    why: '3 mm away',
    facts: openings(opening({ id: 'vents/1', placed: null, surfaceDistanceMm: 3.1, chamber: null })),
    measured: 3.1,
    limit: 2,
    at: [5, 6, -0.2],
    path: ['parts', 'torso', 'vents', 1, 'at'],
  },
  {
    code: 'opening-misses-chamber',
    why: 'ends 1.2 mm short',
    facts: openings(opening({ depth: 4, chamber: null, chamberDepthMm: 5.2, farWallDepthMm: 30 })),
    measured: 4,
    limit: 5.2,
    says: 'drill 1.2 mm deeper',
    path: ['parts', 'torso', 'vents', 0, 'depth'],
  },
  {
    code: 'opening-misses-chamber',
    why: 'points at none',
    facts: openings(
      opening({ chamber: null, chamberDepthMm: null, farWallDepthMm: null, farSideDepthMm: null }),
    ),
    measured: 4,
    says: 'points at no chamber',
  },
  {
    code: 'opening-through',
    why: 'leaves the far side',
    facts: openings(opening({ depth: 42 })),
    measured: 42,
    limit: 38.5,
    says: 'of 42 mm depth goes through the far side; it must end before 38.5 mm.',
  },
  {
    code: 'opening-through',
    why: 'bites into the far wall',
    facts: openings(opening({ depth: 39 })),
    measured: 39,
    limit: 38.5,
    says: 'bites into the far wall',
  },
  {
    code: 'opening-on-show-side',
    why: 'reaches over the outline',
    facts: openings(opening({ showReachMm: 2.25 })),
    measured: 2.25,
    limit: 0,
    says: 'The mouth of the vent 0 reaches 2.25 mm into the show side of torso',
    at: [5, 6, 0],
    path: ['parts', 'torso', 'vents', 0, 'at'],
  },
  {
    code: 'opening-on-show-side',
    why: 'lies on it altogether',
    facts: openings({ ...filmDrain(38), showReachMm: 6 }),
    measured: 6,
    says: 'The mouth of the drain 0 lies on the show side',
  },
  {
    code: 'opening-near-wall',
    why: 'closer than its radius',
    facts: openings(opening({ sideClearanceMm: 2.2 })),
    measured: 2.2,
    limit: 3,
    says: 'move it 0.8 mm inward',
  },
  {
    code: 'sealed-cup',
    why: 'eleven layers',
    facts: loads({ cups: [cup({ sealedLayers: 11, joinsLayer: 21, breathesLayer: 30 })] }),
    measured: 11,
    limit: 10,
    says: 'starts in layer 10 (0.5 mm) stays sealed for 11 layers, more than 10',
    path: ['parts', 'torso', 'vents', 0],
  },
  {
    code: 'sealed-cup',
    why: 'for ever, sculpted, in front of a hollow',
    facts: loads({
      cups: [cup({ sealedLayers: 30, joinsLayer: null, breathesLayer: null, breather: null, chamber: null })],
    }),
    measured: 30,
    limit: 10,
    says: 'put a vent through the cup’s floor into the hollow behind it',
    path: ['parts', 'torso'],
  },
  {
    code: 'sealed-cup',
    why: 'one limb of it, told where that limb starts',
    facts: (facts) => {
      const limb = cup({
        sealedLayers: 11,
        sealedLimbs: [
          { start: { layer: 14, at: [20, 0, 0.7] }, layers: 11, peakAreaMm2: 90, peakPullN: 9 },
          { start: { layer: 17, at: [40, 0, 0.85] }, layers: 30, peakAreaMm2: 9.9, peakPullN: 1 },
        ],
        joinsLayer: 21,
      });
      const vent = opening({});
      const raised = { ...vent, placed: { ...vent.placed!, mouth: [5, 6, 0.4] as const } };
      return openings(raised)(loads({ cups: [limb] })(facts));
    },
    measured: 11,
    says: 'A limb of a cup of torso that starts in layer 14 (0.7 mm) stays sealed for 11 layers, more than 10; the film may pull on it with up to 9 N. Give it a vent of its own',
  },
  {
    code: 'sealed-cup',
    why: 'its vent lies on the plate',
    facts: loads({
      cups: [cup({ sealedLayers: 30, joinsLayer: null, breathesLayer: null, breather: null })],
    }),
    says: 'The vent 0 opens onto the plate, which closes it: raise the part',
  },
  {
    code: 'sealed-cup',
    why: 'sculpted, mouth down on the plate',
    facts: loads({ cups: [cup({ sealedLayers: 30, fromLayer: 0, joinsLayer: null, chamber: null })] }),
    says: 'The plate closes it: raise or turn the part',
  },
  {
    code: 'breathes-late',
    why: 'the squeeze is the cause',
    facts: loads({ cups: [cup({ stretches: [stretch({ layers: 11, squeezeFreeLayer: 21 })] })] }),
    measured: 11,
    limit: 10,
    says: 'no vent helps there; tilt the part',
    path: ['parts', 'torso'],
  },
  {
    code: 'breathes-late',
    why: 'the floor lies too far from its openings',
    facts: loads({ cups: [cup({ stretches: [stretch({ layers: 15, ventMm: 30 })] })] }),
    measured: 15,
    says: 'Put another vent where the floor is farthest from the openings',
    path: ['parts', 'torso', 'vents', 0],
  },
  {
    code: 'breathes-late',
    why: 'a vent that is wide enough comes too late',
    facts: loads({ cups: [cup({ stretches: [stretch({ layers: 15, openingsPullN: 29, ventMm: 2.5 })] })] }),
    measured: 15,
    says: 'the vent 0 is wide enough but not yet printed there: put it nearer',
    path: ['parts', 'torso', 'vents', 0],
  },
  {
    code: 'breathes-late',
    why: 'the opening is the cause, and it never gets better',
    facts: loads({
      cups: [cup({ stretches: [stretch({ layers: 30, squeezePullN: 2, openingsPullN: 29, ventMm: 12 })] })],
    }),
    measured: 30,
    limit: 10,
    says: 'by themselves: one of 12 mm at its start would do; make the vent 0 wider',
  },
  {
    code: 'breathes-late',
    why: 'a neck of the hollow is the cause',
    facts: loads({
      cups: [
        cup({
          stretches: [
            stretch({
              layers: 30,
              squeezePullN: 2,
              openingsPullN: 29,
              necksPullN: 25,
              ventMm: 5,
              breather: null,
            }),
          ],
        }),
      ],
    }),
    measured: 30,
    limit: 10,
    says: 'Most of it, 25 N, is lost in a narrow neck of the hollow on the way to its openings: one of 5 mm at its start would do; give the side beyond the neck a vent of its own.',
    path: ['parts', 'torso'],
  },
  {
    code: 'breathes-late',
    why: 'a later limb, told by its own start',
    facts: (facts) => {
      const limb = stretch({
        start: { layer: 24, at: [9, 9, 1.2] },
        passesLayer: 26,
        layers: 13,
        breather: 'drains/0',
      });
      return loads({ cups: [cup({ breathesLayer: 39, stretches: [stretch({}), limb] })] })(facts);
    },
    measured: 13,
    says: 'A limb of a cup of torso that starts in layer 24 (1.2 mm) pulls with up to 30 N (layer 11 (0.55 mm)) and stays above 20 N for 13 layers from layer 26 (1.3 mm) on, more than 10.',
    path: ['parts', 'torso', 'drains', 0],
  },
  {
    code: 'needs-supports',
    why: 'raised',
    part: { raise: 0.1 },
    facts: (facts) =>
      stepped(
        0,
        0,
        12,
        300,
        400,
      )(layers({ islands: [island({ layer: 2, areaMm2: 8 }), island({ layer: 2, areaMm2: 4 })] })(facts)),
    measured: 12,
    limit: 0,
    says: 'starts in layer 2 (0.1 mm) with 12 mm² in 2 regions',
  },
  {
    code: 'needs-supports',
    why: 'raised by less than half a layer, so that its first layer is layer 0',
    part: { raise: 0.02 },
    facts: stepped(12, 12),
    measured: 12,
    says: 'starts in layer 0 (0 mm) with 12 mm²',
  },
  {
    code: 'island-unheld',
    why: 'no support gets to where it starts',
    facts: held({ unreached: [{ layer: 60, at: [1, 2, 3], keptFree: false }] }),
    says: 'torso starts in air in layer 60 (3 mm) with no way for a support',
  },
  {
    code: 'island-unheld',
    why: 'its place is kept free',
    facts: held({ unreached: [{ layer: 60, at: [1, 2, 3], keptFree: true }] }),
    says: 'where supports.keep-free lets no support touch it',
  },
  {
    code: 'support-idle',
    why: 'no underside is near',
    facts: held({ idle: [{ index: 2, why: 'no underside' }] }),
    says: 'The support 2 of torso that you placed has no underside within 2 mm',
    path: ['parts', 'torso', 'supports', 'by-hand', 2, 'at'],
  },
  {
    code: 'raft-outside',
    why: 'feet would leave the plate, and a turn brings them in',
    part: { turn: [10, 20, 120] },
    facts: held({ outside: outside({ unheld: 2, turnZ: 90 }) }),
    measured: 3.2,
    limit: 0,
    says: '2 places of torso that must be held are not, because the raft of the strut would reach up to 3.2 mm beyond the plate less its margin (machine.margin). Turned by 90° further about z it is on the plate.',
  },
  {
    code: 'raft-outside',
    why: 'a foot has grown over the edge, and no turn helps',
    facts: held({ outside: outside({ standing: 1 }) }),
    measured: 3.2,
    limit: 0,
    says: '1 foot of the raft of torso reaches up to 3.2 mm beyond the plate less its margin (machine.margin). No turn about z brings it in: as it stands it needs a plate of 202 mm by 104 mm.',
  },
  {
    code: 'support-idle',
    why: 'another stands there',
    facts: held({ idle: [{ index: 1, why: 'taken' }] }),
    says: 'The support 1 of torso that you placed stands where another one does',
  },
  {
    code: 'support-idle',
    why: 'no way leads down',
    facts: held({ idle: [{ index: 0, why: 'no way' }] }),
    says: 'finds no way down',
  },
  {
    code: 'tip-overloaded',
    why: 'the weakest tip tears as wide as it may be',
    facts: held({ worst: { reserve: 0.8, layer: 12, at: [1, 2, 3] } }),
    measured: 0.8,
    limit: 1,
    says: 'In layer 12 (0.6 mm), with a pull of 12 N, the weakest tip under torso bears 0.8 times its load',
  },
  {
    code: 'hold-weak',
    why: 'the plate lets go',
    facts: held({ worst: { reserve: 0.5, layer: 3, at: null } }),
    measured: 0.5,
    limit: 1,
    says: 'the plate holds 0.5 times what pulls on a foot, or on what stands there, of torso',
  },
  {
    code: 'raft-meets-part',
    why: 'raised by less than the raft is thick',
    part: { raise: 1, supports: decision },
    facts: held({ supports: [support({})] }),
    measured: 1,
    limit: 1.2,
    says: 'torso is raised by 1 mm, and its raft is 1.2 mm thick',
    path: ['parts', 'torso', 'raise'],
  },
  {
    code: 'strut-slender',
    why: 'a strut may buckle',
    facts: held({ supports: [support({ slender: true }), support({})] }),
    measured: 1,
    limit: 0,
    says: '1 strut under torso may buckle on the way down',
  },
  {
    code: 'tip-on-show-side',
    why: 'nothing beside it would do',
    facts: held({ supports: [support({ contact: contact({ onShow: true }) }), support({})] }),
    measured: 1,
    limit: 0,
    says: 'The show side of torso is marked by 1 support',
  },
  {
    code: 'contact-cut',
    why: 'a vent takes all that stands on the plate',
    facts: (facts) => loads({ areaMm2: Float64Array.from([0, 200, 200]) })(stepped(9, 200, 200)(facts)),
    measured: 0,
    limit: 9,
    says: 'torso stands on the plate with 9 mm² and its openings cut all of that away',
    path: ['parts', 'torso', 'vents', 0],
  },
  {
    code: 'starts-in-air',
    why: 'an island above the first layer',
    facts: layers({ islands: [island({})] }),
    measured: 2,
    limit: 0.1,
    says: 'layer 20 (1 mm)',
  },
  {
    code: 'starts-in-air',
    why: 'an island inside the hollow',
    facts: layers({ islands: [island({ inside: true })] }),
    measured: 2,
    says: 'inside the hollow',
  },
  {
    code: 'large-ceiling',
    why: 'wide and far',
    facts: layers({ ceilings: [{ layer: 30, areaMm2: 151, spanMm: 11, at: [0, 0, 1], inside: true }] }),
    measured: 151,
    limit: 150,
    says: 'free span of up to 11 mm inside the hollow',
  },
  {
    code: 'area-jump',
    why: 'both ratio and growth',
    facts: stepped(400, 400, 1300, 2000),
    measured: 3.25,
    limit: 1.5,
    says: 'from 400 mm² to 1300 mm²',
  },
  {
    code: 'pull-high',
    why: 'above the limit',
    facts: loads({ peakPullN: 130 }),
    measured: 130,
    limit: 100,
    says: 'Layer 3 (0.15 mm) of torso pulls with up to 130 N, above 100 N: 390 mm² of solid and 200 mm² of cups. Most of it is the suction',
  },
  {
    code: 'pull-high',
    why: 'the squeeze over a flat start is the cause',
    facts: loads({
      peakPullN: 130,
      peakPullLayer: 11,
      cups: [cup({ peakPullN: 126, squeezePullN: 120, sealedLayers: 5 })],
    }),
    limits: { suction: 200 },
    says: 'where no vent helps: tilt the part, or dome the floor',
  },
  {
    code: 'pull-high',
    why: 'the squeeze over a floor far from its openings is the cause',
    facts: loads({
      peakPullN: 130,
      peakPullLayer: 11,
      cups: [
        cup({
          peakPullN: 126,
          squeezePullN: 120,
          sealedLayers: 5,
          stretches: [stretch({ squeezeFreeLayer: 10 })],
        }),
      ],
    }),
    limits: { suction: 200 },
    says: 'lies too far from their openings: put another vent there',
  },
  {
    code: 'pull-high',
    why: 'a sealed cup is opened first, shallow as it is',
    facts: loads({
      peakPullN: 130,
      peakPullLayer: 11,
      cups: [cup({ peakPullN: 126, squeezePullN: 120, sealedLayers: 11 })],
    }),
    limits: { suction: 200, leastCup: 1000 },
    says: 'open them sooner or wider',
  },
  {
    code: 'pull-high',
    why: 'above it by less than a digit shows',
    facts: loads({ peakPullN: 100.04 }),
    says: 'up to 100.04 N, above 100 N',
  },
  {
    code: 'wall-flexes',
    why: 'a flat panel bends too far under suction, and its vent is too narrow',
    facts: loads({ walls: [wallLoad({}), wallLoad({ strain: 1.2 }), wallLoad({ strain: 0.9 })] }),
    measured: 2.4,
    limit: 1,
    says: 'A wall of torso, taken as a flat panel of 84 mm across and 110 mm long, its rim held, bends 2.4 mm, over 1 mm, under a suction of up to 6.2 kPa in layer 3 (0.15 mm). It bears 2.1 kPa: the vent 0 made 15.5 mm wide and printed by then would keep the suction under that; or a wall of 2.3 mm would bear it. 1 more wall of that chamber is over its limit too.',
    at: [40, 0, 12],
    path: ['parts', 'torso'],
  },
  {
    code: 'wall-flexes',
    why: 'a rising panel is stressed beyond the formula, and its vent is wide enough',
    facts: loads({
      walls: [
        wallLoad({ passes: 'stress', stressMpa: 30, strain: 2, rising: true, valid: false, ventMm: 5 }),
      ],
    }),
    measured: 30,
    limit: 15,
    says: 'its rim free at the film, is stressed to 30 MPa, over its green strength of 15 MPa, and bends 2.4 mm, over 1 mm (roughly: the formula does not reach that far), under',
  },
  {
    code: 'wall-flexes',
    why: 'a tube caves in where no vent helps',
    facts: loads({
      walls: [
        wallLoad({
          panel: { ...wallLoad({}).panel, shape: 'tube', radiusMm: 30, spanMm: 90 },
          passes: 'buckling',
          bucklesKpa: 2.1,
          strain: 6.2 / 2.1,
          ventMm: null,
          neededWallMm: null,
        }),
      ],
    }),
    limit: 2.1,
    says: 'a tube of 30 mm radius and 90 mm free length, one end free, caves in: it bears 2.1 kPa, under a suction of up to 6.2 kPa in layer 3 (0.15 mm). It bears 2.1 kPa. The squeeze',
  },
  {
    code: 'wall-flexes',
    why: 'a roof is peeled',
    facts: loads({
      walls: [wallLoad({ load: 'peel', pressureKpa: 10, ventMm: null, vent: null })],
    }),
    says: 'under the peel of 10 kPa as it parts from the film in layer 3 (0.15 mm). Tilt the part, or make it thicker: a wall of 2.3 mm would bear it.',
  },
  {
    code: 'area-jump',
    why: 'a vent ends and its layer is whole again',
    facts: loads({ areaMm2: Float64Array.from([300, 300, 1300]) }),
    measured: 1300 / 300,
    says: 'from 300 mm² to 1300 mm²',
  },
  {
    code: 'vat-runs-low',
    why: 'at layer 30',
    facts: loads({ vatLowLayer: 30 }),
    measured: 24,
    says: 'layer 30 (1.5 mm)',
  },
];

const silent: Case[] = [
  { code: 'outside-plate', why: 'just fits', facts: mesh({ sizeMm: [188, 116, 40] }) },
  { code: 'too-tall', why: 'just fits', facts: mesh({ bounds: { min: [0, 0, 0], max: [1, 1, 200] } }) },
  {
    code: 'loose-shell',
    why: 'a void in its body',
    facts: mesh({ shells: [body, { ...body, kind: 'void', volume: -9 }] }),
  },
  {
    code: 'too-thin-to-hollow',
    why: 'asked to be solid',
    part: { wall: null },
    facts: hollow({ chambers: [], wallMm: null }),
  },
  {
    code: 'chamber-left-solid',
    why: 'only specks, in a part with a chamber',
    facts: hollow({ leftSolid: [{ volumeMm3: 49, centroid: [1, 2, 3] }] }),
  },
  {
    code: 'single-opening',
    why: 'two a diameter apart',
    facts: openings(opening({}), filmDrain(6)),
  },
  {
    code: 'single-opening',
    why: 'two at one height of a chamber no higher than two diameters',
    facts: (facts) =>
      openings(
        opening({}),
        filmDrain(5),
      )(hollow({ chambers: [{ ...facts.hollow.chambers[0]!, bottom: 1, top: 13 }] })(facts)),
  },
  { code: 'resin-trapped', why: 'at the limit', facts: loads({ trappedMm3: [5000] }) },
  {
    code: 'opening-misses-chamber',
    why: 'a tube of chosen depth',
    facts: openings(opening({ kind: 'tube', id: 'tubes/0', chamber: null })),
  },
  {
    code: 'opening-through',
    why: 'a tube goes through',
    facts: openings(opening({ kind: 'tube', id: 'tubes/0', depth: 45 })),
  },
  {
    code: 'opening-on-show-side',
    why: 'a tube',
    facts: openings(opening({ id: 'tubes/0', kind: 'tube', showReachMm: 6 })),
  },
  { code: 'opening-near-wall', why: 'at its radius', facts: openings(opening({ sideClearanceMm: 3 })) },
  {
    code: 'opening-near-wall',
    why: 'at it but for float32',
    facts: openings(opening({ sideClearanceMm: 2.9999 })),
  },
  {
    code: 'opening-through',
    why: 'ends at it but for float32',
    facts: openings(opening({ depth: 38.5001 })),
  },
  { code: 'sealed-cup', why: 'ten layers', facts: loads({ cups: [cup({ sealedLayers: 10 })] }) },
  {
    code: 'sealed-cup',
    why: 'narrower than told',
    facts: loads({ cups: [cup({ sealedLayers: 99, peakAreaMm2: 9.9 })] }),
  },
  {
    code: 'sealed-cup',
    why: 'the builder allows it',
    limits: { sealedLayers: 40 },
    facts: loads({ cups: [cup({ sealedLayers: 30 })] }),
  },
  {
    code: 'breathes-late',
    why: 'ten layers',
    facts: loads({ cups: [cup({ breathesLayer: 20, stretches: [stretch({ layers: 10 })] })] }),
  },
  {
    code: 'breathes-late',
    why: 'never pulls much',
    facts: loads({ cups: [cup({ breathesLayer: null, peakPullN: 20, stretches: [] })] }),
  },
  {
    code: 'breathes-late',
    why: 'told as sealed already',
    facts: loads({
      cups: [cup({ sealedLayers: 11, breathesLayer: 40, stretches: [stretch({ layers: 30 })] })],
    }),
  },
  { code: 'needs-supports', why: 'stands on the plate' },
  { code: 'needs-supports', why: 'supports are planned', part: { raise: 0.1 }, facts: held({}) },
  {
    code: 'starts-in-air',
    why: 'supports are planned',
    facts: (facts) => held({})(layers({ islands: [island({})] })(facts)),
  },
  { code: 'island-unheld', why: 'none are planned' },
  {
    code: 'tip-overloaded',
    why: 'it just holds',
    facts: held({ worst: { reserve: 1, layer: 3, at: [0, 0, 0] } }),
  },
  { code: 'hold-weak', why: 'it just holds', facts: held({ worst: { reserve: 1, layer: 3, at: null } }) },
  {
    code: 'raft-meets-part',
    why: 'raised higher',
    part: { raise: 1.3, supports: decision },
    facts: held({ supports: [support({})] }),
  },
  {
    code: 'raft-meets-part',
    why: 'stands on the plate',
    part: { raise: 0, supports: decision },
    facts: held({ supports: [support({})] }),
  },
  { code: 'raft-outside', why: 'all feet are on the plate', facts: held({}) },
  { code: 'support-idle', why: 'none is', facts: held({}) },
  { code: 'strut-slender', why: 'none is', facts: held({ supports: [support({})] }) },
  { code: 'tip-on-show-side', why: 'none does', facts: held({ supports: [support({})] }) },
  {
    code: 'large-ceiling',
    why: 'a support stands under it',
    facts: (facts) =>
      held({ supports: [support({ contact: contact({ at: [3, 0, 1] }) })] })(
        layers({ ceilings: [{ layer: 3, areaMm2: 900, spanMm: 40, at: [0, 0, 1], inside: false }] })(facts),
      ),
  },
  {
    code: 'contact-cut',
    why: 'a rim is left',
    facts: (facts) => loads({ areaMm2: Float64Array.from([0.5, 9]) })(stepped(9, 9)(facts)),
  },
  { code: 'contact-cut', why: 'raised', part: { raise: 0.1 }, facts: stepped(0, 0, 9) },
  {
    code: 'starts-in-air',
    why: 'smaller than told',
    facts: layers({ islands: [island({ areaMm2: 0.09 })] }),
  },
  {
    code: 'starts-in-air',
    why: 'first region of a raised part',
    part: { raise: 0.1 },
    facts: (facts) => stepped(0, 0, 12, 12)(layers({ islands: [island({ layer: 2 })] })(facts)),
  },
  {
    code: 'large-ceiling',
    why: 'wide but narrow',
    facts: layers({ ceilings: [{ layer: 3, areaMm2: 900, spanMm: 10, at: [0, 0, 1], inside: false }] }),
  },
  { code: 'area-jump', why: 'small growth', facts: stepped(100, 100, 400) },
  { code: 'area-jump', why: 'small ratio', facts: stepped(4000, 5900) },
  { code: 'area-jump', why: 'first layer of a raised part', facts: stepped(0, 0, 4000) },
  { code: 'pull-high', why: 'at the limit', facts: loads({ peakPullN: 100 }) },
  { code: 'wall-flexes', why: 'at the limit', facts: loads({ walls: [wallLoad({ strain: 1 })] }) },
  {
    code: 'wall-flexes',
    why: 'the cup is sealed, which is told by itself',
    facts: loads({ walls: [wallLoad({ sealed: true, strain: 9 })] }),
  },
];

function drafts({ facts = (same) => same, part, limits }: Case): FindingDraft[] {
  return partRules(contextOf(facts(soundFacts()), part, limits));
}

describe('rules about a measured part', () => {
  it('say nothing about a sound one', () => {
    expect(partRules(contextOf(soundFacts()))).toEqual([]);
  });

  it.each(firing)('$code: $why', (each) => {
    const found = drafts(each).filter(({ code }) => code === each.code);
    expect(found).toHaveLength(1);
    const [draft] = found as [FindingDraft];
    if (each.measured !== undefined) expect(draft.measured).toBeCloseTo(each.measured, 9);
    if (each.limit !== undefined) expect(draft.limit).toBe(each.limit);
    if (each.says !== undefined) expect(draft.message).toContain(each.says);
    if (each.at !== undefined) expect(draft.at).toEqual(each.at);
    if (each.path !== undefined) expect(draft.path).toEqual(each.path);
    expect(draft.message).toMatch(/[.?]$/);
    expect(draft.part).toBe('torso');
    expect(drafts(each)).toEqual(found);
  });

  it.each(silent)('not $code: $why', (each) => {
    expect(drafts(each).map(({ code }) => code)).not.toContain(each.code);
  });

  it('tell a flood of islands as the fifty largest and a count', () => {
    const islands = Array.from({ length: 400 }, (_, i) => island({ layer: 1 + (i % 30), areaMm2: 1 + i }));
    const found = drafts({ code: 'starts-in-air', why: '', facts: layers({ islands }) });
    expect(found).toHaveLength(50);
    expect(Math.min(...found.map(({ measured }) => measured!))).toBe(351);
    expect(found.at(-1)!.message).toContain('350 more');
  });

  it('what a turn brings onto the plate is offered that turn, within half a turn; else nothing', () => {
    const offered = (turnZ: number | null) =>
      drafts({
        code: 'raft-outside',
        why: '',
        part: { turn: [10, 20, 120] },
        facts: held({ outside: outside({ unheld: 2, turnZ }) }),
      })[0]!.remedies;
    expect(offered(90)).toEqual([{ kind: 'turn', turn: [10, 20, -150] }]);
    expect(offered(30)).toEqual([{ kind: 'turn', turn: [10, 20, 150] }]);
    expect(offered(null)).toBeUndefined();
  });

  it('a wider opening is offered where that is too narrow, a proposal where the floor lies too far from it', () => {
    const late = (squeezePullN: number, openingsPullN: number) =>
      drafts({
        code: 'breathes-late',
        why: '',
        facts: loads({
          cups: [cup({ stretches: [stretch({ layers: 15, squeezePullN, openingsPullN, ventMm: 30 })] })],
        }),
      })[0]!.remedies;
    expect(late(2, 29)).toEqual([{ kind: 'diameter', value: 30, opening: 'vents/0' }, { kind: 'propose' }]);
    expect(late(29, 2)).toEqual([{ kind: 'propose' }]);
  });

  it('an opening in a solid part reaches no chamber', () => {
    const facts = openings(opening({ chamber: null, chamberDepthMm: null }))(
      hollow({ chambers: [], wallMm: null })(soundFacts()),
    );
    const found = partRules(contextOf(loads({ cups: [], chamberOpenings: [] })(facts), { wall: null }));
    expect(found.map(({ code }) => code)).toEqual(['opening-misses-chamber']);
    expect(found[0]!.message).toContain('is solid.');
  });

  it('a cup that the sculpt makes in a solid part can only be turned', () => {
    const sealed = cup({ sealedLayers: 30, joinsLayer: null, breather: null, chamber: null });
    const facts = openings()(hollow({ chambers: [], wallMm: null })(soundFacts()));
    const found = partRules(
      contextOf(loads({ cups: [sealed], chamberOpenings: [] })(facts), { wall: null }),
    ).find(({ code }) => code === 'sealed-cup')!;
    expect(found.message).toContain('Turn the part, or open the cup where it starts.');
    expect(found.remedies).toBeUndefined();
  });
});

describe('what a wall that flexes asks for', () => {
  const remedies = (change: Partial<PartFacts['loads']['walls'][number]>) =>
    drafts({ code: 'wall-flexes', why: '', facts: loads({ walls: [wallLoad(change)] }) }).find(
      ({ code }) => code === 'wall-flexes',
    )!.remedies;
  const wall = { kind: 'wall', value: 2.3 };
  it.each([
    [
      'the vent too narrow',
      {},
      [{ kind: 'diameter', value: 15.5, opening: 'vents/0' }, { kind: 'propose' }, wall],
    ],
    ['the vent wide enough, but late', { ventMm: 3.02 }, [{ kind: 'propose' }, wall]],
    ['no opening of the manifest', { vent: 'mesh' }, [{ kind: 'propose' }, wall]],
    ['no vent that helps', { ventMm: null }, [wall]],
    ['the peel', { load: 'peel', ventMm: null, vent: null }, [wall]],
    ['nothing', { ventMm: null, neededWallMm: null }, []],
  ] as const)('%s', (_, change, wanted) => {
    expect(remedies(change)).toEqual(wanted);
  });
});

describe('keys without room', () => {
  const { manifest, part, facts } = contextOf(soundFacts(), { cuts: [plannedCut] });
  const seams = [{ misses: false, areaMm2: 80, keys: [], refused: [refusedKey({})] }];
  const told = (others: readonly Part[], of: Part, checked?: readonly Part[]): number =>
    partRules({
      manifest: { ...manifest, parts: others },
      part: of,
      facts: mesh({ seams })(facts),
      ...(checked && { checked }),
    }).filter(({ code }) => code === 'key-without-room').length;

  it('are told at the first part that a cut leaves, and again where another cut was made before', () => {
    const front: Part = { ...part, name: 'hips', cuts: [{ ...plannedCut, side: 'front' }] };
    expect([told([part, front], part), told([part, front], front), told([front], front)]).toEqual([1, 0, 1]);
    // Checked alone, the second half tells of them itself.
    expect([told([part, front], front, [front]), told([part, front], front, [part, front])]).toEqual([1, 0]);
    const other: Part = { ...front, file: 'other.stl' };
    expect(told([part, other], other)).toBe(1);
  });
});

describe('rules about the kit', () => {
  const kit = (copies: Partial<Part>) => {
    const { manifest, part, facts } = contextOf(soundFacts(), copies);
    return kitRules({
      manifest: { ...manifest, parts: [part] },
      facts: new Map([['torso', facts]]),
      plates: new Map(),
      joints: [],
      swallowed: [],
      assembled: null,
    });
  };
  it('count every copy and mirror image: 35 × (19 + 1.9 + 5) ml are 906.5 of 900', () => {
    const [draft] = kit({ count: 27, mirrored: 8 });
    expect(draft).toMatchObject({
      code: 'resin-short',
      part: null,
      limit: 900,
      path: ['resins', 'slate', 'on-hand'],
    });
    expect(draft!.measured).toBeCloseTo(906.5, 9);
    expect(draft!.message).toContain('6.5 ml short');
  });
  it('are silent while the bottles suffice, and leave the last print what covers the film', () => {
    expect(kit({ count: 31 })).toEqual([]);
  });
});

describe('failures of a part', () => {
  it.each([
    ['file-missing', 'file-missing'],
    ['stl-truncated', 'file-unreadable'],
    ['file-too-large', 'file-unreadable'],
    ['grid-too-large', 'engine-failed'],
    ['solid-timeout', 'engine-failed'],
  ] as const)('%s is told as %s', (code, finding) => {
    expect(partFailed('torso', { code, message: 'Why.' })).toEqual({
      code: finding,
      part: 'torso',
      path: ['parts', 'torso', 'file'],
      message: 'Why.',
    });
  });
});

describe('the table of findings', () => {
  const asked =
    `file-missing file-unreadable yaml-invalid key-unknown value-out-of-range scale-missing outside-plate
    too-tall not-watertight inside-out doubled-wall loose-shell too-thin-to-hollow chamber-without-opening sealed-cup
    breathes-late opening-misses-chamber opening-through opening-off-surface opening-near-wall single-opening
    starts-in-air needs-supports large-ceiling area-jump pull-high vat-runs-low resin-short`.split(/\s+/);
  it.each(asked)('has %s', (code) => {
    expect(findingTable).toHaveProperty(code);
  });
  it('has a sentence and a basis for each', () => {
    for (const { title, basis } of Object.values(findingTable)) {
      expect(title).toMatch(/\.$/);
      expect(basis).not.toBe('');
    }
  });
});

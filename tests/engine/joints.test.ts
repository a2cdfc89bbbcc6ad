import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parseManifest } from '../../src/core/kit/parseManifest.ts';
import type { CheckReport } from '../../src/core/kit/report.ts';
import { box, toStl, transformed } from '../shapes.ts';
import { socket } from '../unit/joints/bodies.ts';
import { assembledHead, kitwright, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

/** A key 10 mm wide, 8 mm deep in a socket that leaves 0.2 mm on each side; the block stands on its side. */
const manifest = `${assembledHead}parts:
  key:
    file: parts/key.stl
    wall: solid
  block:
    file: parts/block.stl
    turn: [90, 0, 0]
    wall: solid
`;
let kit: string;

beforeAll(() => {
  kit = writeKit(join(folder.path, 'kit'), manifest, {
    'parts/key.stl': toStl(transformed(box([10, 10, 12]), { shift: [0, 0, -2] })),
    'parts/block.stl': toStl(socket(20, 14, 10.4, 8.5)),
  });
});

const check = async (): Promise<CheckReport> =>
  JSON.parse((await kitwright(['check', kit, '--json'])).out) as CheckReport;

const edit = (from: string, to: string): void => {
  const path = join(kit, 'kit.yaml');
  const text = readFileSync(path, 'utf8');
  expect(text).toContain(from);
  writeFileSync(path, text.replace(from, to));
};

/** The kept joints, by file and by when each was written. */
const kept = (): string[] => {
  const cache = join(kit, '.kitwright/cache');
  return readdirSync(cache)
    .filter((name) => name.startsWith('joint-'))
    .map((name) => `${name} ${statSync(join(cache, name)).ino}`);
};

describe('files that all lie at one origin', () => {
  it('are told after three pairs that take the same space, and no further pair is measured', async () => {
    const sizes = [20, 19, 18, 17, 16, 15];
    const origin = writeKit(
      join(folder.path, 'origin'),
      `${assembledHead}parts:\n${sizes
        .map((size) => `  cube-${size}: { file: parts/${size}.stl, wall: solid }\n`)
        .join('')}`,
      Object.fromEntries(sizes.map((size) => [`parts/${size}.stl`, toStl(box([size, size, size]))])),
    );
    const look = async (): Promise<CheckReport> =>
      JSON.parse((await kitwright(['check', origin, '--json'])).out) as CheckReport;
    const first = await look();
    expect(first.joints).toEqual([]);
    const clash = first.findings.filter(({ code }) => code === 'joint-clash');
    expect(clash).toHaveLength(1);
    expect(clash[0]!.message).toContain('cube-20 and cube-19, and 2 more pairs likewise');
    const cached = readdirSync(join(origin, '.kitwright/cache')).filter((name) => name.startsWith('joint-'));
    expect(cached).toHaveLength(3);
    expect((await look()).findings).toEqual(first.findings);
  });
});

describe('joints of a kit', () => {
  it('are told with the spread of their gap', async () => {
    const { joints, findings } = await check();
    expect(joints).toHaveLength(1);
    expect(joints[0]).toMatchObject({
      parts: ['key', 'block'],
      plug: 'key',
      socket: 'block',
      overlap: null,
      off_source: [0, 0, 1],
      caught: 0,
      slide: { q05_mm: 0.2, median_mm: 0.2, q95_mm: 0.2 },
    });
    expect(findings.filter(({ code }) => code.startsWith('joint-'))).toEqual([]);
  });

  it('come out by the poses of their parts, until the resin is calibrated', async () => {
    // The plug's faces stand 5 mm from the middle, the socket's 5.2 mm; two axes may differ by 0.5 %.
    const open = (await check()).joints[0]!.comes_out;
    expect(open.known_mm).toBe(0);
    expect(open.by_pose_mm).toBeLessThanOrEqual(-0.025);
    expect(open.by_pose_mm).toBeGreaterThan(-0.06);
    expect(open.unmeasured).toEqual(['slate']);
    edit('density: 1.12', 'density: 1.12, shrinkage: [0.4, 0.4, 0.2], spread: 0.1, bore-loss: 0.3');
    const { joints, findings } = await check();
    // The block lies on its side: two walls of its socket stand upright and lose half of 0.3 mm each.
    expect(joints[0]!.comes_out.known_mm).toBeCloseTo(-0.15, 3);
    expect(joints[0]!.comes_out.by_pose_mm).toBeGreaterThan(-0.006);
    expect(joints[0]!.comes_out.unmeasured).toEqual([]);
    const told = findings.filter(({ code }) => code.startsWith('joint-'));
    expect(told).toMatchObject([{ code: 'joint-tight', part: 'block', limit: 0.1 }]);
    expect(told[0]!.measured).toBeCloseTo(0.05, 3);
    edit('density: 1.12, shrinkage: [0.4, 0.4, 0.2], spread: 0.1, bore-loss: 0.3', 'density: 1.12');
  });

  it('are not measured again for a pose, a wall or an opening', async () => {
    const before = kept();
    expect(before).toHaveLength(1);
    edit('turn: [90, 0, 0]', 'turn: [45, 10, 0]\n    vents: [{ at: [10, 0, -5], diameter: 3, depth: 2 }]');
    const { joints } = await check();
    expect(joints[0]!.slide!.median_mm).toBe(0.2);
    expect(kept()).toEqual(before);
  });

  it('bind at a smaller factor, since a printer’s gap does not scale', async () => {
    edit('factor: 1', 'factor: 0.4');
    const { joints, findings } = await check();
    expect(joints[0]!.slide!.median_mm).toBeCloseTo(0.08, 3);
    const told = findings.filter(({ code }) => code.startsWith('joint-'));
    expect(told).toMatchObject([{ code: 'joint-tight', part: 'block', measured: 0.08, limit: 0.1 }]);
    // Somewhere on the socket’s side, in the sculpt’s own units.
    expect(Math.max(...told[0]!.at_source!.slice(0, 2).map(Math.abs))).toBeGreaterThan(4.9);
    edit('factor: 0.4', 'factor: 1');
  });

  it('have a table of their own', async () => {
    const run = await kitwright(['joints', kit]);
    expect(run.code).toBe(0);
    expect(run.out).toContain('key in block');
    expect(run.out).toMatch(/sliding faces +3\d\d mm² +0\.20 +0\.20 +0\.20/);
    const told = JSON.parse((await kitwright(['joints', kit, '--json'])).out) as CheckReport;
    expect(told.joints).toHaveLength(1);
    expect(told.findings).toEqual([]);
  });

  it('are not looked for where the files do not stand together', async () => {
    edit('parts:', 'assembled: no\nparts:');
    const { joints } = await check();
    expect(joints).toEqual([]);
    edit('assembled: no\nparts:', 'parts:');
  });
});

describe('a figure with a pin', () => {
  // A post 30 × 30 × 40 mm, a beam 90 × 30 × 20 mm that sticks out over it, 1.12 g/ml.
  const figure = `${assembledHead}parts:
  beam:
    file: parts/beam.stl
    wall: solid
  post:
    file: parts/post.stl
    wall: solid
joints:
  neck: { parts: [beam, post], pin: { metal: steel, diameter: 3, depth: 12 } }
`;
  let folderOf: string;

  beforeAll(() => {
    folderOf = writeKit(join(folder.path, 'figure'), figure, {
      'parts/beam.stl': toStl(transformed(box([90, 30, 20]), { shift: [20, 0, 10] })),
      'parts/post.stl': toStl(transformed(box([30, 30, 40]), { shift: [0, 0, -20] })),
    });
  });

  const json = async <T>(...args: string[]): Promise<T> =>
    JSON.parse((await kitwright([...args, folderOf, '--json'])).out) as T;

  it('is weighed, and falls over as it stands', async () => {
    const { assembled, joints, findings } = await json<CheckReport>('check');
    const [beam, post] = [54 * 1.12, 36 * 1.12];
    expect(assembled!.mass_g).toBeCloseTo(beam + post, 1);
    const x = (20 * beam) / (beam + post);
    const height = (50 * beam + 20 * post) / (beam + post);
    expect(assembled!.at_source[0]).toBeCloseTo(x, 2);
    expect(assembled!.height_mm).toBeCloseTo(height, 1);
    expect(assembled!.tip_deg).toBeCloseTo((Math.atan2(15 - x, height) * 180) / Math.PI, 1);
    expect(findings.map(({ code }) => code)).toContain('figure-tips-over');
    // The beam’s weight, 20 mm beside the middle of the face it lies on, 10 mm above it.
    const { load, pin } = joints[0]!;
    expect(load!.beyond).toEqual(['beam']);
    // The middle of the contact is known to half a piece of it, a quarter of a millimetre.
    expect(Math.abs(load!.lever_mm - 20)).toBeLessThan(0.25);
    expect(load!.moment_nm / (((beam * 9.80665) / 1000) * 0.02)).toBeCloseTo(1, 1);
    expect(pin!.moment_nm / ((3 * (beam * 9.80665) * Math.hypot(20, 10)) / 1e6)).toBeCloseTo(1, 1);
    expect(findings.filter(({ code }) => code === 'pin-weak')).toEqual([]);
  });

  it('gets a hole in each part, on one line, once', async () => {
    const first = await kitwright(['propose', 'pins', folderOf, '--write']);
    expect(first.code).toBe(0);
    expect(first.out).toContain('a rod of 3 mm in holes of 3.15 mm');
    const text = readFileSync(join(folderOf, 'kit.yaml'), 'utf8');
    await kitwright(['propose', 'pins', folderOf, '--write']);
    expect(readFileSync(join(folderOf, 'kit.yaml'), 'utf8')).toBe(text);
    const { parts, findings } = await json<CheckReport>('check');
    for (const name of ['beam', 'post']) {
      const solid = name === 'beam' ? 54 : 36;
      const bore = (Math.PI / 4) * 3.15 ** 2 * 12.5;
      expect(solid - parts[name]!.hollow.resin_ml).toBeCloseTo(bore / 1000, 2);
    }
    expect(findings.filter(({ code }) => code.startsWith('opening-'))).toEqual([]);
    const { parts: read } = parseManifest(text).manifest!;
    const [one, other] = read.map(({ openings }) => openings[0]!);
    expect(one!.at.slice(0, 2)).toEqual(other!.at.slice(0, 2));
    expect(one!.toward!.map((along, axis) => along + other!.toward![axis]!)).toEqual([0, 0, 0]);
  });

  it('gets none through what is drilled already, and that is told by its name', async () => {
    // A blind vent toward the pin: 15 − 13 − 1.575 = 0.425 mm would stay, of one 12.7 mm deep 0.725.
    const vent = 'vents: [{ at: [15, 0, -6], diameter: 3, depth: 13, toward: [-1, 0, 0] }]';
    const text = figure
      .replace('post.stl\n', `post.stl\n    ${vent}\n`)
      .replace('depth: 12 }', 'depth: 12, at: [0, 0, 0] }');
    const vented = writeKit(join(folder.path, 'vented'), text, {
      'parts/beam.stl': toStl(transformed(box([90, 30, 20]), { shift: [20, 0, 10] })),
      'parts/post.stl': toStl(transformed(box([30, 30, 40]), { shift: [0, 0, -20] })),
    });
    const refused = await kitwright(['propose', 'pins', vented, '--write']);
    expect(refused.code).toBe(1);
    expect(refused.out).toContain(
      'neck: none, its hole in post would leave 0.425 mm to vent 0, less than 0.6 mm',
    );
    expect(readFileSync(join(vented, 'kit.yaml'), 'utf8')).toBe(text);
    writeFileSync(join(vented, 'kit.yaml'), text.replace('depth: 13', 'depth: 12.7'));
    const made = await kitwright(['propose', 'pins', vented, '--write']);
    expect([made.code, made.out]).toEqual([0, expect.stringContaining('They stand in kit.yaml.')]);
    // Its own holes are in nobody’s way.
    expect((await kitwright(['propose', 'pins', vented])).code).toBe(0);
  });
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Manifest } from '../../../src/core/kit/manifest.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { kitRules, partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import { closestOnSurface } from '../../../src/core/openings/closestOnSurface.ts';
import { buildSurfaceIndex } from '../../../src/core/openings/surfaceIndex.ts';
import { measurePart } from '../../../src/pipeline/measurePart.ts';
import { readySolid } from '../../../src/pipeline/readySolid.ts';
import { isClosed } from '../../../src/solid/isClosed.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { box, toStl, transformed } from '../../shapes.ts';
import { thisThread } from '../pipeline/thisThread.ts';

beforeAll(async () => {
  await openSolid();
});

/** Two cubes of 60 mm side by side in x, their faces at x = 0 and, with a gap, beyond it. */
function kitText(lights: string, parts = 'wall: 2', gap = 0): string {
  return `kit: The Lamplighter
scale: { factor: 1 }
machine: { layer: 0.2, plate: [300, 300] }
lights: ${lights}
parts:
  left: { file: left.stl, ${parts} }
  right: { file: right${gap}.stl, ${parts} }
`;
}

interface MeasuredKit {
  readonly manifest: Manifest;
  readonly facts: ReadonlyMap<string, PartFacts>;
  readonly codes: string[];
  readonly meshes: ReadonlyMap<
    string,
    { outer: ReturnType<typeof box>; cavity: ReturnType<typeof box> | null }
  >;
}

async function measured(text: string, names: readonly string[] = ['left', 'right']): Promise<MeasuredKit> {
  const folder = mkdtempSync(join(tmpdir(), 'kitwright-light-'));
  try {
    writeFileSync(join(folder, 'left.stl'), toStl(transformed(box(60), { shift: [-30, 0, 0] })));
    for (const gap of [0, 3])
      writeFileSync(
        join(folder, `right${gap}.stl`),
        toStl(transformed(box(60), { shift: [30 + gap, 0, 0] })),
      );
    const manifest = parseManifest(text).manifest!;
    const facts = new Map<string, PartFacts>();
    const meshes = new Map();
    const codes: string[] = [];
    for (const part of manifest.parts.filter(({ name }) => names.includes(name))) {
      const request = { ...partRequestOf(manifest, part, folder, false)!, kitDir: null };
      const result = await measurePart(request, thisThread, { keepMeshes: true, hashAgain: false });
      if (!result.ok) throw new Error(result.error.message);
      facts.set(part.name, result.value.facts);
      meshes.set(part.name, result.value.meshes);
      codes.push(...partRules({ manifest, part, facts: result.value.facts }).map(({ code }) => code));
    }
    codes.push(
      ...kitRules({ manifest, facts, plates: new Map(), joints: [], swallowed: [], assembled: null }).map(
        ({ code }) => code,
      ),
    );
    return { manifest, facts, meshes, codes: codes.filter((code) => /^(light|led)/.test(code)) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A quarter of a circle of 40 mm from the top of the left cube through the joint, and on straight. */
const arcPoints = Array.from({ length: 10 }, (_, n) => {
  const angle = (n * Math.PI) / 18;
  return [-40 + 40 * Math.sin(angle) - 10, 0, 40 * Math.cos(angle) - 5];
});
const arcPath = JSON.stringify(arcPoints);

describe('a light through a solid cube', () => {
  it('takes a torus arc away: π·r² times the arc within it, in the layers and in the ready mesh', async () => {
    // From (−50, 0, 35) to (−10, 0, −5): leaves the cube through its top (z = 30) only.
    const { facts, meshes } = await measured(
      kitText(`{ wire: { path: ${arcPath}, diameter: 6, through: [left] } }`, 'wall: solid'),
      ['left'],
    );
    const left = facts.get('left')!;
    const [light] = left.lights;
    // z = 40·cos a − 5 = 30 at a = 28.96°; the rest of the quarter lies inside, and ends in the solid.
    const inside = 40 * (Math.PI / 2 - Math.acos(35 / 40));
    expect(light!.passes).toHaveLength(1);
    expect(light!.passes[0]!.toMm - light!.passes[0]!.fromMm).toBeCloseTo(inside, 1);
    expect(light!.passes[0]!.leaves).toBeNull();
    const removed = 216_000 - left.hollow.resinMm3;
    // The mouth is slanted about the middle line, which leaves the volume as it is.
    expect(Math.abs(removed / (Math.PI * 9 * inside) - 1)).toBeLessThan(0.01);
    const made = await readySolid('left', meshes.get('left')!, left, 0, thisThread);
    if (!made.ok) throw new Error(made.error.message);
    expect(isClosed(made.value.mesh)).toBe(true);
    expect(Math.abs((216_000 - made.value.volume) / removed - 1)).toBeLessThan(0.01);
    expect(made.value.notes.join(' ')).toContain('Low voltage only');
  }, 60_000);

  it('has the wall between it and the skin: 6 mm from a face less its radius', async () => {
    const path = '[[-30, 24, 40], [-30, 24, 0], [-30, 24, -40]]';
    const one = await measured(
      kitText(`{ wire: { path: ${path}, diameter: 4, lining: 3.9, through: [left] } }`, 'wall: solid'),
      ['left'],
    );
    expect(one.facts.get('left')!.lights[0]!.thinnest!.wallMm).toBeCloseTo(4, 4);
    expect(one.codes).toEqual([]);
    const thin = await measured(
      kitText(`{ wire: { path: ${path}, diameter: 4, lining: 4.2, through: [left] } }`, 'wall: solid'),
      ['left'],
    );
    expect(thin.codes).toEqual(['light-wall-thin']);
  }, 60_000);
});

describe('a light through hollow cubes', () => {
  const straight = 'path: [[-70, 3, 4], [0, 5, 2], [70, 3, 4]]';
  it('is lined: the hollow keeps the lining’s distance from the tube, and stays one sealed chamber', async () => {
    const text = kitText(`{ wire: { ${straight}, diameter: 5, lining: 1.5, through: [left, right] } }`);
    const { facts, meshes, codes } = await measured(text);
    expect(codes).toEqual([]);
    for (const name of ['left', 'right']) {
      const { lights, hollow } = facts.get(name)!;
      expect(hollow.chambers).toHaveLength(1);
      expect(lights[0]!.leastLiningMm).toBeGreaterThan(1.4);
      expect(lights[0]!.leastLiningMm).toBeLessThan(1.55);
      const cavity = buildSurfaceIndex(meshes.get(name)!.cavity!);
      for (const point of lights[0]!.points)
        expect(closestOnSurface(cavity, point).distanceMm).toBeGreaterThan(2.5 + 1.4);
      // 56 mm cubed of hollow, less a lined rod of 8 mm across the 56 mm.
      const rod = Math.PI * 16 * 56;
      expect(hollow.chambers[0]!.volumeMm3).toBeGreaterThan(56 ** 3 - 1.1 * rod);
      expect(hollow.chambers[0]!.volumeMm3).toBeLessThan(56 ** 3 - 0.97 * rod);
      const made = await readySolid(name, meshes.get(name)!, facts.get(name)!, 0, thisThread);
      if (!made.ok) throw new Error(made.error.message);
      expect(isClosed(made.value.mesh)).toBe(true);
    }
  }, 120_000);

  it('breaks where a gap lies between them, and where it never enters one', async () => {
    const far = await measured(
      kitText(`{ wire: { ${straight}, diameter: 4, through: [left, right] } }`, 'wall: solid', 3),
    );
    expect(far.codes).toEqual(['light-breaks']);
    const short = await measured(
      kitText(
        '{ wire: { path: [[-70, 0, 0], [-5, 0, 0]], diameter: 4, through: [left, right] } }',
        'wall: solid',
      ),
    );
    expect(short.codes).toEqual(['light-breaks']);
    const alone = await measured(
      kitText(`{ wire: { ${straight}, diameter: 4, through: [left, right] } }`, 'wall: solid', 3),
      ['left'],
    );
    expect(alone.codes).toEqual([]);
  }, 60_000);

  it('is told where it meets a vent', async () => {
    const vent = 'wall: 2, vents: [{ at: [-30, 8, -30], diameter: 6, depth: 40 }]';
    const met = await measured(kitText(`{ wire: { ${straight}, diameter: 4, through: [left] } }`, vent), [
      'left',
    ]);
    expect(met.codes).toEqual(['light-meets-opening']);
    const short = vent.replace('depth: 40', 'depth: 20');
    expect(
      (await measured(kitText(`{ wire: { ${straight}, diameter: 4, through: [left] } }`, short), ['left']))
        .codes,
    ).toEqual([]);
  }, 60_000);
});

describe('what the text of a light tells', () => {
  const told = (light: string): string[] =>
    parseManifest(kitText(`{ wire: { through: [left], ${light} } }`)).findings.map(({ code }) => code);
  const bent = (radius: number) =>
    `path: ${JSON.stringify(Array.from({ length: 7 }, (_, n) => [radius * Math.cos((n * Math.PI) / 6), radius * Math.sin((n * Math.PI) / 6), 0]))}`;
  const led = 'count: 1, current: 20, forward: 3.2, supply: 5, gauge: 24, length: 1';
  it.each<[string, string, string[]]>([
    ['nothing', 'path: [[0, 0, 0], [1, 0, 0]], diameter: 4', []],
    [
      'a bend of 18 mm with a fibre of 1 mm in a tube of 4',
      `${bent(18)}, diameter: 4, carries: { fibre: 1 }`,
      [],
    ],
    ['one of 16 mm', `${bent(16)}, diameter: 4, carries: { fibre: 1 }`, ['light-bends-tight']],
    [
      'one of 16 mm by the data sheet',
      `${bent(16)}, diameter: 4, carries: { fibre: 1, bend-radius: 10 }`,
      [],
    ],
    ['a tube that bends within itself', `${bent(3)}, diameter: 4`, ['light-bends-tight']],
    [
      'a cable of 3 mm in 4 (3 / √0.53 = 4.12)',
      'path: [[0, 0, 0], [1, 0, 0]], diameter: 4, carries: { cable: 3 }',
      ['light-tight'],
    ],
    ['one of 2.9 mm', 'path: [[0, 0, 0], [1, 0, 0]], diameter: 4, carries: { cable: 2.9 }', []],
    ['a connector', 'path: [[0, 0, 0], [1, 0, 0]], diameter: 4, connector: 5', ['light-tight']],
    ['an LED', `path: [[0, 0, 0], [1, 0, 0]], diameter: 4, leds: { ${led}, size: 5 }`, ['light-tight']],
    ['a sound run', `path: [[0, 0, 0], [1, 0, 0]], diameter: 4, leds: { ${led} }`, []],
    [
      'a long thin one',
      `path: [[0, 0, 0], [1, 0, 0]], diameter: 4, leds: { ${led.replace('gauge: 24', 'gauge: 36').replace('length: 1', 'length: 30')} }`,
      ['led-voltage-low', 'led-wire-thin'],
    ],
    [
      'many on one wire',
      `path: [[0, 0, 0], [1, 0, 0]], diameter: 4, leds: { ${led.replace('count: 1', 'count: 30')} }`,
      ['led-wire-thin', 'led-heat'],
    ],
    [
      'both gauge and section',
      `path: [[0, 0, 0], [1, 0, 0]], diameter: 4, leds: { ${led}, section: 0.2 }`,
      ['value-out-of-range'],
    ],
    ['one point', 'path: [[0, 0, 0]], diameter: 4', ['value-out-of-range']],
    ['no point', 'diameter: 4', ['value-out-of-range']],
  ])('%s', (_, light, codes) => {
    expect(told(light)).toEqual(codes);
  });
  it('a part that is not there', () => {
    const { findings } = parseManifest(
      kitText('{ wire: { through: [lefd], path: [[0, 0, 0], [1, 0, 0]], diameter: 4 } }'),
    );
    expect(findings.map(({ code, message }) => [code, message])).toEqual([
      [
        'light-part-unknown',
        'The light wire runs through lefd, which is no part of this kit. Did you mean left?',
      ],
    ]);
  });
});

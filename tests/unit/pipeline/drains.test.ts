import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { drainTime } from '../../../src/core/physics/drainTime.ts';
import { measurePart } from '../../../src/pipeline/measurePart.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { box, lathe, sphere, torus, toStl } from '../../shapes.ts';
import { thisThread } from './thisThread.ts';

const folder = mkdtempSync(join(tmpdir(), 'kitwright-drains-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** As the whole pipeline measures it: wall 1.5 mm, layers of 0.1 mm, next to no surface tension. */
async function measured(mesh: Mesh, decisions: string): Promise<PartFacts> {
  writeFileSync(join(folder, 'body.stl'), toStl(mesh));
  const manifest = parseManifest(`kit: The Lamplighter
scale: { factor: 1 }
machine: { layer: 0.1 }
resins: { slate: { viscosity: 300, liquid-density: 1.1, surface-tension: 0.000001 } }
defaults: { wall: 1.5, resin: slate }
parts: { body: { file: body.stl, ${decisions} } }
`).manifest!;
  const request = { ...partRequestOf(manifest, manifest.parts[0]!, folder, true)!, kitDir: null };
  const result = await measurePart(request, thisThread, { keepMeshes: false, hashAgain: false });
  if (!result.ok) throw new Error(result.error.message);
  return result.value.facts;
}

/** A bar-bell about z: balls of 12 mm at z = ±18, a neck of 4 mm radius. */
function barBell(): Mesh {
  const profile: [number, number][] = [];
  const neck = Math.asin(4 / 12);
  for (let n = 0; n <= 24; n++) {
    const angle = ((Math.PI - neck) * n) / 24;
    profile.push([n === 0 ? 0 : 12 * Math.sin(angle), -18 - 12 * Math.cos(angle)]);
  }
  const upper = profile.map(([r, z]) => [r, -z] as [number, number]).reverse();
  return lathe([...profile, ...upper], 64);
}

describe('what stays while a part hangs from the plate, by cells, is what the layers say exactly', () => {
  it.each([
    [
      'a sphere, holes at its side and below',
      sphere(20, 96),
      'vents: [{ at: [0, 0, -20], diameter: 4 }], drains: [{ at: [20, 0, 0], diameter: 6 }]',
    ],
    [
      'a box, holes near a corner and below',
      box([40, 30, 26]),
      'vents: [{ at: [0, 0, -13], diameter: 4 }], drains: [{ at: [20, 5, 6], diameter: 5 }]',
    ],
    [
      'a ring on edge',
      torus(20, 7),
      'turn: [90, 0, 0], vents: [{ at: [27, 0, 0], diameter: 5 }], drains: [{ at: [0, -20, 7], diameter: 4 }]',
    ],
    [
      'a bar-bell that drains above its neck',
      barBell(),
      'vents: [{ at: [0, 0, -30], diameter: 4 }], drains: [{ at: [12, 0, -18], diameter: 4 }]',
    ],
    [
      'a bar-bell askew',
      barBell(),
      'turn: [50, 20, 0], vents: [{ at: [0, 0, -30], diameter: 4 }], drains: [{ at: [12, 0, 18], diameter: 4 }]',
    ],
  ])(
    '%s',
    async (_, mesh, decisions) => {
      const { hollow, loads, drains } = await measured(mesh, decisions);
      const { volumeMm3 } = hollow.chambers[0]!;
      const [exact, byCells] = [loads.trappedMm3[0]!, drains[0]!.hangingMm3];
      expect(exact).toBeGreaterThan(0.05 * volumeMm3);
      expect(Math.abs(byCells - exact) / volumeMm3, `${byCells} for ${exact}`).toBeLessThan(0.01);
    },
    60_000,
  );
});

describe('for the wash', () => {
  it('a sphere is held with the hole down and empties', async () => {
    const { hollow, drains } = await measured(
      sphere(20, 96),
      'vents: [{ at: [0, 0, -20], diameter: 4 }], drains: [{ at: [0, 16, 12], diameter: 6 }]',
    );
    const [drain] = drains;
    expect(drain!.leftMm3 / hollow.chambers[0]!.volumeMm3).toBeLessThan(0.006);
    expect(drain).toMatchObject({ air: 'other', better: null });
    // Slab by slab of a ball of 18.5 mm radius, π(2Rh − h²) each, until a hundredth is left: πRh² = 4/3πR³/100.
    const radius = 18.5e-3;
    const last = radius * Math.sqrt(0.04 / 3);
    const slabs = Array.from({ length: 400 }, (_, n) => last + ((2 * radius - last) * n) / 400);
    const closed = slabs.reduce((sum, from, n) => {
      const to = slabs[n + 1] ?? 2 * radius;
      const middle = (from + to) / 2;
      const area = Math.PI * (2 * radius * middle - middle ** 2);
      const slab = { area, diameter: 6e-3, length: 1.5e-3, from: to, to: from };
      return sum + drainTime(slab, { viscosity: 0.3, density: 1100 });
    }, 0);
    expect(Math.abs(drain!.seconds! / closed - 1), `${drain!.seconds} for ${closed}`).toBeLessThan(0.03);
  }, 60_000);

  it('an attitude that is asked for is kept, with what it leaves and where less would stay', async () => {
    // A box of 77 × 57 × 43 mm inside, drained in the middle of its side: laid on that side all leaves.
    const { drains } = await measured(
      box([80, 60, 46]),
      'wash: [0, 0, 0], vents: [{ at: [-40, 0, 0], diameter: 5 }], drains: [{ at: [40, 0, 0], diameter: 5 }]',
    );
    const [drain] = drains;
    expect(drain!.turn).toEqual([0, 0, 0]);
    // To the lower edge of the holes, 21.5 − 2.5 mm above the floor; both at one height: no air.
    expect(Math.abs(drain!.leftMm3 / (77 * 57 * 19) - 1)).toBeLessThan(0.01);
    expect(drain!.pond).toMatchObject({ holds: expect.stringMatching(/vents|drains/) });
    expect(drain!.pond!.at[2]).toBeCloseTo(1.5, 0);
    // 99 % of 19 mm, to half a cell. A hole of 2 mm would do by surface tension, which is next to none here, but not in five minutes.
    expect(Math.abs(drain!.pond!.depthMm - 18.81)).toBeLessThan(0.3);
    const pond = { area: 77e-3 * 57e-3, length: 1.5e-3, from: 19e-3, to: 5e-3 };
    const minutes = (diameter: number) =>
      drainTime({ ...pond, diameter }, { viscosity: 0.3, density: 1100 }) / 60;
    expect([minutes(2e-3) > 5, minutes(3e-3) < 5]).toEqual([true, true]);
    expect(drain!.freeingMm).toBe(3);
    expect(drain!.better!.leftMm3).toBeLessThan(0.01 * 77 * 57 * 43);
  }, 60_000);

  it('a box on its drain empties in the time of a constant section', async () => {
    const { drains } = await measured(
      box([40, 30, 63]),
      'wash: [0, 0, 0], vents: [{ at: [0, 0, 31.5], diameter: 5 }], drains: [{ at: [0, 0, -31.5], diameter: 5 }]',
    );
    // 37 × 27 × 60 mm inside, 1.5 mm of wall; 99 % is drained at 0.6 mm.
    const hole = { area: 37e-3 * 27e-3, diameter: 5e-3, length: 1.5e-3, from: 60e-3, to: 0.6e-3 };
    const closed = drainTime(hole, { viscosity: 0.3, density: 1100 });
    expect(Math.abs(drains[0]!.seconds! / closed - 1), `${drains[0]!.seconds} for ${closed}`).toBeLessThan(
      0.02,
    );
  }, 60_000);
});

import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { decode } from 'fast-png';
import { afterAll, describe, expect, it } from 'vitest';
import type { CheckReport } from '../../src/core/kit/report.ts';
import type { KitPoses } from '../../src/protocol/engineApi.ts';
import { box, toStl } from '../shapes.ts';
import { kitwright, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
afterAll(() => folder.remove());

const head = `kit: The Lamplighter
scale: { factor: 1 }
machine: { plate: [192, 120], height: 200, layer: 0.1 }   # the small one
parts:
`;

/** Propose pose, and what it says. */
async function poses(
  kit: string,
  ...options: string[]
): Promise<KitPoses & { readonly code: number | null }> {
  const { out, err, code } = await kitwright(['propose', 'pose', kit, '--json', ...options]);
  expect(code, err).toBeLessThan(2);
  return { ...(JSON.parse(out) as KitPoses), code };
}

async function codes(kit: string): Promise<string[]> {
  const { out } = await kitwright(['check', kit, '--json']);
  return (JSON.parse(out) as CheckReport).findings.map(({ code }) => code);
}

describe('propose pose', () => {
  it('a ladder that lies over the edge: every pose told fits, and the one written makes the finding go', async () => {
    const kit = writeKit(
      join(folder.path, 'ladder'),
      `${head}  ladder:\n    file: parts/ladder.stl\n    wall: solid\n    turn: [0, 0, 0]   # as sculpted\n`,
      { 'parts/ladder.stl': toStl(box([205, 30, 6])) },
    );
    expect(await codes(kit)).toContain('outside-plate');
    const told = await poses(kit);
    expect(told.code).toBe(0);
    const { now, poses: offered, compared } = told.parts['ladder']!;
    expect(now).toMatchObject({ turn: [0, 0, 0], fits: false, size_mm: [205, 30, 6], height_mm: 6 });
    expect(compared).toBeGreaterThan(500);
    expect(offered.length).toBeGreaterThan(1);
    for (const { fits, size_mm } of offered) {
      expect(fits).toBe(true);
      expect(size_mm[0]).toBeLessThanOrEqual(188.001);
      expect(size_mm[1]).toBeLessThanOrEqual(116.001);
      expect(size_mm[2]).toBeLessThanOrEqual(200.001);
    }
    const before = readFileSync(join(kit, 'kit.yaml'), 'utf8');
    expect(await poses(kit)).toEqual(told);
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(before);
    await poses(kit, '--part', 'ladder', '--write', '1');
    const after = readFileSync(join(kit, 'kit.yaml'), 'utf8');
    expect(after).toBe(before.replace('[0, 0, 0]', `[${offered[0]!.turn.join(', ')}]`));
    const now2 = await codes(kit);
    expect(now2).not.toContain('outside-plate');
    expect(now2).not.toContain('too-tall');
  });

  it('weights of the manifest decide: by height alone a block lies on its largest side', async () => {
    const flat =
      'pose: { show: 0, overhang: 0, islands: 0, pull: 0, jumps: 0, cups: 0, floors: 0, height: 1 }\n';
    const text = `${head.replace('parts:\n', `${flat}parts:\n`)}  step: { file: parts/step.stl, wall: solid, turn: [90, 0, 0] }\n`;
    const kit = writeKit(join(folder.path, 'step'), text, { 'parts/step.stl': toStl(box([80, 60, 10])) });
    const { parts } = await poses(kit);
    const { poses: offered, now } = parts['step']!;
    expect(now.height_mm).toBeCloseTo(60, 3);
    expect(offered).toHaveLength(1);
    expect(offered[0]!.height_mm).toBeCloseTo(10, 3);
    expect(offered[0]!.why).toBe('best by your weights');
    expect(offered[0]!.hours).toBeLessThan(now.hours);
  });

  it('what fits in no pose: exit 1, the largest factor by the closed form, and nothing written', async () => {
    const kit = writeKit(
      join(folder.path, 'post'),
      `${head}  post: { file: parts/post.stl, wall: solid, turn: [0, 10, 0] }\n`,
      { 'parts/post.stl': toStl(box([400, 2, 2])) },
    );
    const before = readFileSync(join(kit, 'kit.yaml'), 'utf8');
    const told = await poses(kit, '--write', '1');
    expect(told.code).toBe(1);
    const { poses: offered, largest_factor } = told.parts['post']!;
    expect(offered).toEqual([]);
    // A thin bar along the room's diagonal, less what its thickness and whole degrees take. Its lower end is held, so the
    // room ends half a foot of 8.55 mm inside the margins and 3.2 mm over the plate: √(171² + 99² + 197²) = 279 mm.
    expect(largest_factor).toBeLessThan(279 / 400);
    expect(largest_factor).toBeGreaterThan(0.97 * (279 / 400));
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toBe(before);
    expect(told.failed).toEqual([
      { part: 'post', message: 'there is no pose 1 for it; its turn was left alone.' },
    ]);
    const { out } = await kitwright(['propose', 'pose', kit]);
    expect(out).toContain('post: fits in none of');
  });

  it('with supports planned the pose that is written brings the raise that its raft needs', async () => {
    const part = (keys: string) =>
      `${head}  step: { file: parts/step.stl, wall: solid, turn: [0, 40, 0], raise: 1, ${keys} }\n`;
    const kit = writeKit(join(folder.path, 'raise'), part('supports: planned'), {
      'parts/step.stl': toStl(box([60, 40, 8])),
    });
    expect(await codes(kit)).toContain('raft-meets-part');
    const { parts } = await poses(kit, '--write', '1');
    const { now, poses: offered, support_room, supports_planned } = parts['step']!;
    expect([now.raise_mm, supports_planned, support_room.raise_mm]).toEqual([1, true, 3.2]);
    // At 15 MPa a tip of 1.2 mm bears 17 N, which a foot of 7.35 mm takes to a plate that holds 100 kPa; its lip leans 1.2 mm.
    expect(support_room.reach_mm).toBeCloseTo(
      Math.sqrt((15 * (Math.PI / 4) * 1.2 ** 2) / (Math.PI * 0.1)) + 1.2,
      2,
    );
    for (const { raise_mm } of offered) expect(raise_mm).toBe(3.2);
    const after = readFileSync(join(kit, 'kit.yaml'), 'utf8');
    expect(after).toContain(`turn: [${offered[0]!.turn.join(', ')}], raise: 3.2, supports: planned`);
    expect(await codes(kit)).not.toContain('raft-meets-part');
    // Held by the slicer it is raised as the builder says.
    writeFileSync(join(kit, 'kit.yaml'), part('supports: none'));
    await poses(kit, '--write', '1');
    expect(readFileSync(join(kit, 'kit.yaml'), 'utf8')).toContain('raise: 1, supports: none');
  }, 60_000);

  it('draws every pose, at one scale, into a folder: written aside, nothing left beside', async () => {
    const kit = writeKit(
      join(folder.path, 'drawn'),
      `${head}  step: { file: parts/step.stl, wall: solid }\n`,
      { 'parts/step.stl': toStl(box([60, 40, 8])) },
    );
    const out = join(folder.path, 'pictures/of poses');
    const { parts, pictures } = await poses(kit, '--pictures', out);
    const count = parts['step']!.poses.length;
    const names = ['step-now.png', ...Array.from({ length: count }, (_, n) => `step-pose-${n + 1}.png`)];
    expect(pictures).toEqual({ step: names.map((name) => join(out, name)) });
    expect(readdirSync(out).sort()).toEqual([...names].sort());
    const shown = names.map((name) => {
      const { width, height, data } = decode(readFileSync(join(out, name)));
      expect([width, height]).toEqual([256, 256]);
      return Array.from(data).reduce((sum, value, at) => sum + (at % 4 === 3 && value > 0 ? 1 : 0), 0);
    });
    for (const covered of shown) expect(covered).toBeGreaterThan(2000);
    // Not one picture many times.
    expect(
      new Set(names.map((name) => readFileSync(join(out, name)).toString('base64'))).size,
    ).toBeGreaterThan(count / 2);
    expect((await poses(kit)).pictures).toEqual({});
    writeFileSync(join(folder.path, 'file'), '');
    const refused = await kitwright(['propose', 'pose', kit, '--pictures', join(folder.path, 'file')]);
    expect(refused.code).toBe(2);
    expect(refused.err).toContain('cannot be written');
  }, 60_000);

  it('refuses what cannot be meant', async () => {
    const kit = writeKit(join(folder.path, 'no'), `${head}  a: { file: parts/a.stl, wall: solid }\n`, {
      'parts/a.stl': toStl(box(10)),
    });
    for (const args of [
      ['propose', kit],
      ['propose', 'pose', kit, '--write', '0'],
      ['propose', 'pose', kit, '--write', 'best'],
      ['propose', 'pose', kit, '--part', 'b'],
    ]) {
      expect((await kitwright(args)).code, args.join(' ')).toBe(2);
    }
    writeFileSync(join(kit, 'parts/a.stl'), 'solid nothing');
    const told = await poses(kit);
    expect(told.code).toBe(1);
    expect(told.failed[0]).toMatchObject({ part: 'a' });
  });
});

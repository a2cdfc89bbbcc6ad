import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { CancelledError, uninterrupted } from '../../../src/core/interrupter.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { Hands } from '../../../src/pipeline/hands.ts';
import { type MeasureOptions, measurePart } from '../../../src/pipeline/measurePart.ts';
import type { PartRequest } from '../../../src/pipeline/partRequest.ts';
import type { SheetWork } from '../../../src/pipeline/sharedTasks.ts';
import { noShelf } from '../../../src/pipeline/warmShelf.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { join as joined, sphere, toStl } from '../../shapes.ts';
import { hands } from './thisThread.ts';

const manifest = `kit: The Lamplighter
scale: { finished: "1:4", factor: 1.5 }
machine: { plate: [60, 50], height: 90, layer: 0.5 }
resins: { slate: { density: 1.12 } }
defaults: { wall: 1.5, resin: slate }
parts:
  globe: { file: globe.stl }
`;
const kit = mkdtempSync(join(tmpdir(), 'kitwright-shared-'));
let request: PartRequest;
beforeAll(() => {
  writeFileSync(join(kit, 'globe.stl'), toStl(sphere(8, 48)));
  const parsed = parseManifest(manifest).manifest!;
  request = partRequestOf(parsed, parsed.parts[0]!, kit, false)!;
});
afterAll(() => rmSync(kit, { recursive: true, force: true }));

/** What was shared, with its turn, and the stages that were named, as they came. */
async function events(of: PartRequest, watch?: MeasureOptions['watch']) {
  const log: string[] = [];
  const works: unknown[] = [];
  const stage = (name: string) => {
    if (!log.includes(name)) log.push(name);
    return uninterrupted;
  };
  const listed: Hands = {
    share: (task, parts, interrupter, later) => {
      log.push(later === undefined ? task : `${task} ${later.turn}`);
      works.push(...parts.map((work) => ({ task, work })));
      return hands.share(task, parts, interrupter, later);
    },
  };
  const context = { stage, hands: listed, warm: noShelf };
  const result = await measurePart(of, context, {
    keepMeshes: false,
    hashAgain: false,
    ...(watch && { watch }),
  });
  if (!result.ok) throw new Error(result.error.message);
  const workOf = (name: string) =>
    works.flatMap((one) => {
      const { task, work } = one as { task: string; work: unknown };
      return task === name ? [work] : [];
    });
  return { log, tasks: log.filter((name) => /^[a-z]+[A-Z]/.test(name)), workOf };
}

describe('what a part shares between threads', () => {
  it('is a hollow that others begin while its own thread poses the part, then what is not needed yet', async () => {
    const { log, tasks } = await events({ ...request, kitDir: null });
    expect(tasks).toEqual([
      'hollowSlice at once',
      'castFootprint last',
      'feelPanels first',
      'feelSheets first',
      'feelFaults last',
      'measurePosed',
    ]);
    expect(log.indexOf('hollowSlice at once')).toBeLessThan(log.indexOf('posing'));
  });

  it('is a hollow after the pose where a view waits for its first picture', async () => {
    const watch = { wants: async () => true, outer: () => {}, cavity: () => {} };
    const { log } = await events({ ...request, kitDir: null }, watch);
    expect(log.indexOf('hollowSlice')).toBeGreaterThan(log.indexOf('weighing'));
  });

  it('is what a decision changes, and nothing else', async () => {
    const tasksOf = async (of: PartRequest) =>
      (await events(of)).tasks.map((task) => task.split(' ')[0]).sort();
    await tasksOf(request);
    expect(await tasksOf(request)).toEqual([]);
    const thin = { ...request, limits: { ...request.limits, leastWall: 0.9 } };
    expect(await tasksOf(thin)).toEqual(['feelFaults', 'feelSheets']);
    const wall = await tasksOf({ ...request, wall: 2 });
    expect(wall).toEqual(['feelFaults', 'feelPanels', 'hollowSlice', 'measurePosed']);
    const turned = await tasksOf({ ...request, turn: [0, 90, 0] });
    expect(turned).toEqual(['castFootprint', 'measurePosed']);
  });

  it('is the sculpt with its area at the finished size', async () => {
    const { workOf } = await events({ ...request, kitDir: null });
    const [{ areaMm2 }] = workOf('feelSheets') as [SheetWork];
    expect(areaMm2! / (4 * Math.PI * (8 * 1.5) ** 2)).toBeCloseTo(1, 1);
  });

  it('fails once where two works are ended one after the other', async () => {
    const thin = { ...request, limits: { ...request.limits, leastWall: 0.7 } };
    const ended: Hands = {
      share: async (task) => {
        await new Promise((resolve) => setTimeout(resolve, task === 'feelSheets' ? 0 : 20));
        throw new CancelledError();
      },
    };
    const context = { stage: () => uninterrupted, hands: ended, warm: noShelf };
    const job = measurePart(thin, context, { keepMeshes: false, hashAgain: false });
    await expect(job).rejects.toThrow(CancelledError);
    // A rejection that nobody hears would end a thread, whatever it does by then; here it fails the run.
    await new Promise((resolve) => setTimeout(resolve, 50));
  });

  it('is no wall of a surface that cannot be closed', async () => {
    // A facet by itself is not closed.
    const facet: Mesh = {
      positions: Float32Array.of(12, 0, 0, 15, 0, 0, 12, 3, 0),
      triangles: Uint32Array.of(0, 1, 2),
    };
    const path = join(kit, 'open.stl');
    writeFileSync(path, toStl(joined(sphere(8, 48), facet)));
    const { tasks } = await events({ ...request, path, kitDir: null });
    expect(tasks).toEqual(['measurePosed', 'castFootprint']);
  });
});

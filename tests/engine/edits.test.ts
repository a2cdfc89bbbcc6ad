import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { startEngine } from '../../src/worker/engineClient.ts';
import { join as joined, sphere, toStl, transformed } from '../shapes.ts';
import { manifestHead, root, temporaryFolder, writeKit } from './kitwright.ts';

const folder = temporaryFolder();
const enginePath = join(root, 'dist/engine.mjs');
afterAll(() => folder.remove());

const manifestWith = (vents: readonly string[]): string => `${manifestHead}parts:
  globe:
    file: parts/globe.stl
    vents:
${vents.map((vent) => `      - ${vent}\n`).join('')}  cap: { file: parts/cap.stl, wall: 2 }
`;

const edits = [
  ['{ at: [6, 0, -19.08], diameter: 6, depth: 5 }', '{ at: [0, 5, 19.4], diameter: 4 }'],
  ['{ at: [6, 0, -19.08], diameter: 7.5, depth: 5 }', '{ at: [0, 5, 19.4], diameter: 4 }'],
  ['{ at: [2, 3, -19.6], diameter: 7.5, depth: 5 }', '{ at: [0, 5, 19.4], diameter: 4 }'],
  ['{ at: [0, 5, 19.4], diameter: 4 }'],
  ['{ at: [90, 5, 19.4], diameter: 4 }'],
];

it('answers every edit of an opening as an engine does that knows nothing', async () => {
  const kitDir = writeKit(join(folder.path, 'kit'), manifestWith(edits[0]!), {
    'parts/globe.stl': toStl(joined(sphere(20, 96), transformed(sphere(9, 48), { shift: [34, 0, 0] }))),
    'parts/cap.stl': toStl(sphere(15, 64)),
  });
  const engine = startEngine(enginePath);
  const stagesOf = async (vents: readonly string[], noCache: boolean) => {
    const stages = new Set<string>();
    const report = await engine.call(
      'check',
      { kitDir, manifestText: manifestWith(vents), parts: null, noCache },
      { onProgress: (progress) => progress.kind === 'stage' && stages.add(progress.stage) },
    );
    return { report, stages };
  };
  await stagesOf(edits[0]!, false);
  const quick = [];
  for (const vents of edits) quick.push(await stagesOf(vents, false));
  for (const { stages } of quick) expect([...stages]).not.toContain('reading layers');
  for (const [at, vents] of edits.entries()) {
    const { report, stages } = await stagesOf(vents, true);
    expect([...stages]).toContain('reading layers');
    expect(quick[at]!.report).toEqual(report);
  }
  engine.dispose();
});

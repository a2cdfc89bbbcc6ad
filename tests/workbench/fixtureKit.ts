import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { box, cylinder, toStl, transformed } from '../shapes.ts';
import { fixtureManifest } from './fixtureText.ts';

export interface FixtureKit {
  readonly folder: string;
  readonly remove: () => Promise<void>;
}

/** Writes the kit into a new temporary folder, with an STL outside of the kit beside it. */
export async function writeFixtureKit(): Promise<FixtureKit> {
  const folder = await mkdtemp(path.join(os.tmpdir(), 'kitwright-lantern-'));
  const kit = path.join(folder, 'lantern');
  await mkdir(path.join(kit, 'parts'), { recursive: true });
  await writeFile(path.join(kit, 'kit.yaml'), fixtureManifest);
  await writeFile(path.join(kit, 'parts', 'shade.stl'), toStl(box([40, 40, 50])));
  await writeFile(path.join(kit, 'parts', 'post.stl'), toStl(cylinder(6, 60)));
  // Stands on the block; no part of the kit until a test says so.
  await writeFile(
    path.join(kit, 'parts', 'knob.stl'),
    toStl(transformed(box([14, 14, 10]), { shift: [12, 12, 30] })),
  );
  await writeFile(path.join(folder, 'loose.stl'), toStl(cylinder(10, 20)));
  return { folder, remove: () => rm(folder, { recursive: true, force: true }) };
}

import type { CutDecision } from '../../../src/core/cut/cutDecision.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { type CutMesh, cutMesh } from '../../../src/pipeline/cutMesh.ts';
import { type PreparedMesh, prepareMesh } from '../../../src/pipeline/prepareMesh.ts';
import type { StageContext } from '../../../src/pipeline/stageContext.ts';
import { noShelf } from '../../../src/pipeline/warmShelf.ts';
import { openSolid } from '../../../src/solid/openSolid.ts';
import { toStl } from '../../shapes.ts';

const context: StageContext = {
  stage: () => uninterrupted,
  warm: noShelf,
  hands: {
    share: async () => {
      throw new Error('a cut is made by one thread');
    },
  },
};

/** A cut across z through the origin with the manifest's defaults, unless said otherwise. */
export const cutOf = (of: Partial<CutDecision> = {}): CutDecision => ({
  at: [0, 0, 0],
  toward: [0, 0, 1],
  keys: { count: 0 },
  key: { diameter: 6, length: 8, taper: 2, wall: 1.5 },
  clearance: 0.15,
  passages: [],
  lights: [],
  ...of,
});

/** A mesh as a part's file, read and mended. */
export async function preparedOf(mesh: Mesh): Promise<PreparedMesh> {
  // From its own folder, before the pipeline asks for it beside the bundle.
  await openSolid();
  const prepared = await prepareMesh(toStl(mesh), 1e7, context);
  if (!prepared.ok) throw new Error(prepared.error.message);
  return prepared.value;
}

/** Both halves of a mesh as the pipeline makes them. */
export async function halved(mesh: Mesh, cut: CutDecision, factor = 1): Promise<CutMesh> {
  const halves = await cutMesh(await preparedOf(mesh), cut, factor, context);
  if (!halves.ok) throw new Error(halves.error.message);
  return halves.value;
}

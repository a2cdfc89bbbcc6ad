import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { transformMesh } from '../core/affine.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { roundTo } from '../core/kit/rounding.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { joinedStlPieces } from '../core/mesh/writeStl.ts';
import type { Place } from '../core/plates/place.ts';
import { type Result, success } from '../core/result.ts';
import { drawnLarger } from '../core/trueSize/drawnLarger.ts';
import { drawnOtherwise } from '../core/trueSize/drawnOtherwise.ts';
import type { PlateFile, PlateItem } from '../protocol/engineApi.ts';
import { intoFolder, refuseSource } from './intoFolder.ts';
import { ontoPlate } from './ontoPlate.ts';
import type { PartRequest } from './partRequest.ts';
import { type PlacedMesh, pieces3mf } from './pieces3mf.ts';
import { plateSuffix, readyFileName, supportSuffix } from './readyFileName.ts';
import type { PartClearances } from './relieveJoints.ts';
import type { StageContext } from './stageContext.ts';
import { writeAside } from './writeAside.ts';
import { makePart } from './writeReady.ts';
import { expectedBytes, summed } from './writeSolids.ts';

/** A plate to be written. Plain data. */
export interface ReadyPlateRequest {
  /** Absolute path of the manifest. */
  readonly path: string;
  readonly name: string;
  /** Absolute folder. */
  readonly out: string;
  readonly format: 'stl' | '3mf';
  /** Absolute paths of every STL of the kit; none of them is ever written over. */
  readonly sources: readonly string[];
  /** x and y of the plate, mm. */
  readonly plate: readonly [number, number];
  readonly parts: readonly {
    readonly request: PartRequest;
    readonly clearances: PartClearances;
    readonly place: Place;
  }[];
}

/**
 * All parts of a plate and their supports in one file, each where it stands. Parts are made one after the other
 * and kept as bare meshes, so that nothing is written before the last of them is sound.
 */
export async function writePlate(
  request: ReadyPlateRequest,
  context: StageContext,
): Promise<Result<PlateFile>> {
  const meshes: PlacedMesh[] = [];
  const items: PlateItem[] = [];
  const notes: string[] = [];
  for (const { request: part, clearances, place } of request.parts) {
    const made = await makePart({ ...part, stoppers: [], clearances }, context);
    if (!made.ok) return made;
    const { trueSize } = part.resin;
    const { mesh, volume } = drawnLarger(made.value, trueSize);
    const supports = made.value.supports && drawnLarger(weighed(made.value.supports, context), trueSize);
    meshes.push({ name: part.name, type: 'model', mesh, place });
    const held = supports && {
      triangles: supports.mesh.triangles.length / 3,
      volume_ml: Math.round(supports.volume) / 1000,
    };
    if (supports)
      meshes.push({ name: `${part.name}${supportSuffix}`, type: 'solidsupport', mesh: supports.mesh, place });
    items.push({
      part: part.name,
      at_mm: [roundTo(place.at[0], 3), roundTo(place.at[1], 3)],
      spin_deg: place.spin,
      triangles: mesh.triangles.length / 3,
      volume_ml: Math.round(volume) / 1000,
      supports: held,
    });
    notes.push(...[...drawnOtherwise(trueSize), ...made.value.notes].map((note) => `${part.name}: ${note}`));
  }
  const written = await writeMeshes(request, meshes, context.stage('writing'));
  return written.ok ? success({ plate: request.name, ...written.value, items, notes }) : written;
}

const weighed = (mesh: Mesh, context: StageContext) => ({
  mesh,
  volume: massProperties(mesh, context.stage('weighing')).volume,
});

async function writeMeshes(
  { name, out, format, sources, plate }: ReadyPlateRequest,
  meshes: readonly PlacedMesh[],
  interrupter: Interrupter,
): Promise<Result<Pick<PlateFile, 'file' | 'bytes' | 'sha256'>>> {
  const file = join(out, readyFileName(name, false, plateSuffix, format));
  const sum = createHash('sha256');
  const facets = meshes.reduce((total, { mesh }) => total + mesh.triangles.length / 3, 0);
  const expected = expectedBytes(facets, format);
  let bytes = 0;
  const count = (piece: Uint8Array): void => {
    interrupter(Math.min(1, bytes / expected));
    sum.update(piece);
    bytes += piece.length;
  };
  const pieces =
    format === 'stl'
      ? joinedStlPieces(facets, standing(meshes))
      : pieces3mf(meshes, [-plate[0] / 2, -plate[1] / 2], portion(interrupter, 0, 0));
  return intoFolder(out, async () => {
    await refuseSource(file, sources);
    await writeAside(file, summed(pieces, count), true);
    return { file, bytes, sha256: sum.digest('hex') };
  });
}

function* standing(meshes: readonly PlacedMesh[]): Generator<PlacedMesh['mesh']> {
  for (const { mesh, place } of meshes) yield transformMesh(mesh, ontoPlate(place));
}

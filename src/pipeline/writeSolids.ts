import { join } from 'node:path';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { binaryStlPieces } from '../core/mesh/writeStl.ts';
import type { WrittenFile } from '../protocol/engineApi.ts';
import { readyFileName } from './readyFileName.ts';
import { type PackedObject, write3mf } from './write3mf.ts';
import { writeSummed } from './writeSummed.ts';

/** Where and how ready files are written. */
export interface ReadyTarget {
  readonly name: string;
  /** Absolute folder. */
  readonly out: string;
  readonly format: 'stl' | '3mf';
  /** Absolute paths of every STL of the kit; none of them is ever written over. */
  readonly sources: readonly string[];
}

/** `volume` in mm³. */
export interface NamedSolid extends PackedObject {
  readonly volume: number;
}

/**
 * Writes solids into one file, aside and renamed: an STL takes one, a 3MF any number. Tells for each its
 * share of the file, whose bytes and sum are those of the whole. Throws `SourceInTheWay`, and what the
 * disk refuses.
 */
export async function writeSolids(
  solids: readonly NamedSolid[],
  suffix: string,
  mirrored: boolean,
  target: ReadyTarget,
  interrupter: Interrupter,
): Promise<WrittenFile[]> {
  const path = join(target.out, readyFileName(target.name, mirrored, suffix, target.format));
  const placed = mirrored ? solids.map((one) => ({ ...one, mesh: mirrorImage(one.mesh) })) : solids;
  const file = await writeSummed(path, target.sources, piecesOf(placed, target.format, interrupter));
  return solids.map(({ mesh, volume }) => ({
    ...file,
    triangles: mesh.triangles.length / 3,
    volume_ml: Math.round(volume) / 1000,
  }));
}

function* piecesOf(
  solids: readonly NamedSolid[],
  format: ReadyTarget['format'],
  interrupter: Interrupter,
): Generator<Uint8Array> {
  if (format === '3mf') return yield write3mf(solids);
  const { mesh } = solids[0]!;
  const pieces = Math.ceil(mesh.triangles.length / 3 / 2 ** 16) + 1;
  let done = 0;
  for (const piece of binaryStlPieces(mesh)) {
    interrupter(done++ / pieces);
    yield piece;
  }
}

/** x ↦ −x with facets turned round, so that it stays outward. */
function mirrorImage({ positions, triangles }: Mesh): Mesh {
  const mirrored = positions.slice();
  for (let at = 0; at < mirrored.length; at += 3) mirrored[at] = -mirrored[at]!;
  return { positions: mirrored, triangles: turnedRound(triangles) };
}

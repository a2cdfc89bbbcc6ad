import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { type Interrupter, portion } from '../core/interrupter.ts';
import type { Resin } from '../core/kit/manifest.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { binaryStlPieces } from '../core/mesh/writeStl.ts';
import { drawnLarger } from '../core/trueSize/drawnLarger.ts';
import type { WrittenFile } from '../protocol/engineApi.ts';
import { refuseSource } from './intoFolder.ts';
import type { PackedObject } from './pack3mf.ts';
import { readyFileName } from './readyFileName.ts';
import { write3mf } from './write3mf.ts';
import { writeAside } from './writeAside.ts';

/** Where and how ready files are written. */
export interface ReadyTarget {
  readonly name: string;
  /** Absolute folder. */
  readonly out: string;
  readonly format: 'stl' | '3mf';
  /** Absolute paths of every STL of the kit; none of them is ever written over. */
  readonly sources: readonly string[];
  /** What it is drawn larger by. */
  readonly resin: Pick<Resin, 'trueSize'>;
}

/** `volume` in mm³. */
export interface NamedSolid extends PackedObject {
  readonly volume: number;
}

/**
 * Writes solids into one file, drawn larger by what they shrink, aside and renamed: an STL takes one, a 3MF any
 * number. Tells for each its
 * share of the file, whose bytes and sum are those of the whole. Throws what `intoFolder` tells.
 */
export async function writeSolids(
  solids: readonly NamedSolid[],
  suffix: string,
  mirrored: boolean,
  target: ReadyTarget,
  interrupter: Interrupter,
): Promise<WrittenFile[]> {
  const file = join(target.out, readyFileName(target.name, mirrored, suffix, target.format));
  await refuseSource(file, target.sources);
  const drawn = solids.map((one) => drawnLarger(one, target.resin.trueSize));
  const placed = mirrored ? drawn.map((one) => ({ ...one, mesh: mirrorImage(one.mesh) })) : drawn;
  const sum = createHash('sha256');
  let bytes = 0;
  const pieces = summed(piecesOf(placed, target.format, interrupter), (piece) => {
    sum.update(piece);
    bytes += piece.length;
  });
  await writeAside(file, pieces, true);
  const sha256 = sum.digest('hex');
  return drawn.map(({ mesh, volume }) => ({
    file,
    triangles: mesh.triangles.length / 3,
    volume_ml: Math.round(volume) / 1000,
    bytes,
    sha256,
  }));
}

function* piecesOf(
  solids: readonly NamedSolid[],
  format: ReadyTarget['format'],
  interrupter: Interrupter,
): Generator<Uint8Array> {
  const facets = solids.reduce((sum, { mesh }) => sum + mesh.triangles.length / 3, 0);
  const expected = expectedBytes(facets, format);
  let bytes = 0;
  const packed = () => write3mf(solids, portion(interrupter, 0, 0));
  for (const piece of format === '3mf' ? packed() : binaryStlPieces(solids[0]!.mesh)) {
    interrupter(Math.min(1, bytes / expected));
    bytes += piece.length;
    yield piece;
  }
}

/** About what so many facets take in a file, their part of the vertices included. */
export const expectedBytes = (facets: number, format: ReadyTarget['format']): number =>
  (format === 'stl' ? 50 : 25) * facets;

export function* summed(
  pieces: Iterable<Uint8Array>,
  add: (piece: Uint8Array) => void,
): Generator<Uint8Array> {
  for (const piece of pieces) {
    add(piece);
    yield piece;
  }
}

/** x ↦ −x with facets turned round, so that it stays outward. */
function mirrorImage({ positions, triangles }: Mesh): Mesh {
  const mirrored = positions.slice();
  for (let at = 0; at < mirrored.length; at += 3) mirrored[at] = -mirrored[at]!;
  return { positions: mirrored, triangles: turnedRound(triangles) };
}

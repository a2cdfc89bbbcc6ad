import { createHash } from 'node:crypto';
import { realpath } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { Interrupter } from '../core/interrupter.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { binaryStlPieces } from '../core/mesh/writeStl.ts';
import type { WrittenFile } from '../protocol/engineApi.ts';
import { readyFileName } from './readyFileName.ts';
import { type PackedObject, write3mf } from './write3mf.ts';
import { writeAside } from './writeAside.ts';

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

/** The file to be written is one of the sources. */
export class SourceInTheWay extends Error {}

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
  const file = join(target.out, readyFileName(target.name, mirrored, suffix, target.format));
  if (await isSource(file, target.sources)) {
    throw new SourceInTheWay(
      `${file} is an STL that the kit is made from, which is never overwritten. Choose another --out.`,
    );
  }
  const placed = mirrored ? solids.map((one) => ({ ...one, mesh: mirrorImage(one.mesh) })) : solids;
  const sum = createHash('sha256');
  let bytes = 0;
  const pieces = summed(piecesOf(placed, target.format, interrupter), (piece) => {
    sum.update(piece);
    bytes += piece.length;
  });
  await writeAside(file, pieces, true);
  const sha256 = sum.digest('hex');
  return solids.map(({ mesh, volume }) => ({
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
  if (format === '3mf') return yield write3mf(solids);
  const { mesh } = solids[0]!;
  const pieces = Math.ceil(mesh.triangles.length / 3 / 2 ** 16) + 1;
  let done = 0;
  for (const piece of binaryStlPieces(mesh)) {
    interrupter(done++ / pieces);
    yield piece;
  }
}

export function* summed(
  pieces: Iterable<Uint8Array>,
  add: (piece: Uint8Array) => void,
): Generator<Uint8Array> {
  for (const piece of pieces) {
    add(piece);
    yield piece;
  }
}

/** True when the file is one of the sources, links and letter case of the disk included. */
export async function isSource(file: string, sources: readonly string[]): Promise<boolean> {
  const target = await realFile(file);
  const real = await Promise.all(sources.map(realFile));
  return real.includes(target);
}

/** Without links; of what is not there yet, as far as it is there. */
async function realFile(path: string): Promise<string> {
  const inFolder = async () => join(await realpath(dirname(path)), basename(path));
  return realpath(path)
    .catch(inFolder)
    .catch(() => path);
}

/** x ↦ −x with facets turned round, so that it stays outward. */
function mirrorImage({ positions, triangles }: Mesh): Mesh {
  const mirrored = positions.slice();
  for (let at = 0; at < mirrored.length; at += 3) mirrored[at] = -mirrored[at]!;
  return { positions: mirrored, triangles: turnedRound(triangles) };
}

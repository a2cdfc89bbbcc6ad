import { choleskyFactor, type Envelope, solveFactored } from './envelopeCholesky.ts';
import type { ThinFilm } from './thinFilm.ts';

/** What a film does as it parts, for 1 Pa·s and 1 m/s. */
export interface FilmSqueeze {
  /** N, with the pressure outside at every mouth. */
  readonly force: number;
  /** m² whose demand each mouth then serves; together the whole film. */
  readonly catchment: Float64Array;
  /** m³/s for 1 Pa that flow through the film from one mouth to another, row by row; symmetric, diagonal 0. */
  readonly exchange: Float64Array;
}

/**
 * Reynolds' equation ∇·(d³/(12µ)·∇p) = v on the nodes of a film whose rim is closed, liquid coming in at its
 * mouths. Null where a node is joined to no mouth.
 *
 * With pressures P at the mouths (by how much they lie under that outside) the force is `force` + Σ P·catchment:
 * the equation is linear, and what a mouth takes for the film's parting and what its pressure gives to the
 * force are the same by reciprocity.
 */
export function filmSqueeze(film: ThinFilm): FilmSqueeze | null {
  const { start, other, conductance, area, mouthArea, between } = film;
  const count = area.length;
  const mouths = mouthArea.length;
  const factor = choleskyFactor(matrixOf(film));
  if (factor === null) return null;
  const pressure = area.map((a) => 12 * a);
  solveFactored(factor, pressure);
  const catchment = mouthArea.slice();
  const exchange = between.map((value) => value / 12);
  let force = 0;
  for (let n = 0; n < count; n++) {
    force += pressure[n]! * area[n]!;
    for (let link = start[n]!; link < start[n + 1]!; link++) {
      if (other[link]! < 0) catchment[-1 - other[link]!]! += (conductance[link]! * pressure[n]!) / 12;
    }
  }
  if (mouths < 2) return { force, catchment, exchange };
  for (let mouth = 0; mouth < mouths; mouth++) {
    const share = new Float64Array(count);
    for (let n = 0; n < count; n++) {
      for (let link = start[n]!; link < start[n + 1]!; link++) {
        if (other[link]! === -1 - mouth) share[n]! += conductance[link]!;
      }
    }
    solveFactored(factor, share);
    for (let n = 0; n < count; n++) {
      for (let link = start[n]!; link < start[n + 1]!; link++) {
        const to = -1 - other[link]!;
        if (to > mouth) exchange[mouth * mouths + to]! += (conductance[link]! * share[n]!) / 12;
      }
    }
    for (let to = mouth + 1; to < mouths; to++) {
      exchange[to * mouths + mouth] = exchange[mouth * mouths + to]!;
    }
  }
  return { force, catchment, exchange };
}

/** Rows from the first neighbour of lower number on; the diagonal is the sum of all links. */
function matrixOf({ start, other, conductance, area }: ThinFilm): Envelope {
  const count = area.length;
  const rowStart = new Uint32Array(count + 1);
  const first = new Uint32Array(count);
  for (let n = 0; n < count; n++) {
    let lowest = n;
    for (let link = start[n]!; link < start[n + 1]!; link++) {
      if (other[link]! >= 0 && other[link]! < lowest) lowest = other[link]!;
    }
    first[n] = lowest;
    rowStart[n + 1] = rowStart[n]! + n - lowest + 1;
  }
  const values = new Float64Array(rowStart[count]!);
  for (let n = 0; n < count; n++) {
    const row = rowStart[n]! - first[n]!;
    for (let link = start[n]!; link < start[n + 1]!; link++) {
      values[row + n]! += conductance[link]!;
      if (other[link]! >= 0 && other[link]! < n) values[row + other[link]!]! -= conductance[link]!;
    }
  }
  return { rowStart, first, values };
}

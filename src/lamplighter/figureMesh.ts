import type { Mesh } from '../core/mesh/mesh.ts';
import { sine } from './arithmetic.ts';
import type { Field } from './field.ts';
import { noise } from './noise.ts';
import { torsoBox, torsoField } from './parts/torso.ts';
import { polygonise } from './polygonise.ts';

/** Extents of the figure in print, mm: a sculpt that fills a large machine's plate. */
export const figureMm = [190, 159, 145] as const;
const slack = 2.2;

/**
 * The chest with its cloth woven in, drawn out by axis to `figureMm` and set on the plate, with about
 * `triangles` facets (within a tenth): the benchmark's figure part. Print millimetres, closed,
 * outward, one shell. The same seed gives the same mesh.
 */
export function figureMesh(triangles: number, seed = 1): Mesh {
  const field = woven(torsoField(), seed);
  const trialCell = Math.max(0.5, 0.5 * Math.sqrt(150_000 / triangles));
  const trial = polygonise(field, torsoBox, trialCell, slack).triangles.length / 3;
  return drawnOut(polygonise(field, torsoBox, trialCell * Math.sqrt(trial / triangles), slack));
}

function drawnOut({ positions, triangles }: Mesh): Mesh {
  const drawn = new Float32Array(positions.length);
  for (let axis = 0; axis < 3; axis++) {
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    for (let i = axis; i < positions.length; i += 3) {
      least = Math.min(least, positions[i]!);
      most = Math.max(most, positions[i]!);
    }
    const factor = figureMm[axis]! / (most - least);
    for (let i = axis; i < positions.length; i += 3) drawn[i] = (positions[i]! - least) * factor;
  }
  return { positions: drawn, triangles };
}

/** Warp and weft, and slubs six times as deep: about 0.05 and 0.3 mm in print. */
function woven(field: Field, seed: number): Field {
  return (x, y, z) => {
    const d = field(x, y, z);
    if (d > 0.5 || d < -0.5) return d;
    const weave = 0.009 * (sine(x * 9 + y * 4) + sine(z * 9));
    return d + weave + 0.06 * noise(seed, x * 0.9, y * 0.9, z * 1.4);
  };
}

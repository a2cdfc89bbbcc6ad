import type { Mesh } from '../core/mesh/mesh.ts';
import { sine } from './arithmetic.ts';
import type { Field } from './field.ts';
import { noise } from './noise.ts';
import { torsoBox, torsoField } from './parts/torso.ts';
import { polygonise } from './polygonise.ts';

/** Print millimetres per sculpt unit, as in the kit's manifest. */
const factor = 3.4;
const slack = 2.2;

/**
 * The chest with its cloth woven in, about 197 mm tall, with about `triangles` facets (within a
 * tenth): the benchmark's figure part. Print millimetres, closed, outward, one shell. The same seed
 * gives the same mesh.
 */
export function figureMesh(triangles: number, seed = 1): Mesh {
  const field = woven(torsoField(), seed);
  const trialCell = Math.max(0.5, 0.5 * Math.sqrt(150_000 / triangles));
  const trial = polygonise(field, torsoBox, trialCell, slack).triangles.length / 3;
  const mesh = polygonise(field, torsoBox, trialCell * Math.sqrt(trial / triangles), slack);
  return { positions: mesh.positions.map((value) => value * factor), triangles: mesh.triangles };
}

/** Warp and weft 0.06 mm deep in print, and slubs 0.2 mm deep. */
function woven(field: Field, seed: number): Field {
  return (x, y, z) => {
    const d = field(x, y, z);
    if (d > 0.5 || d < -0.5) return d;
    const weave = 0.009 * (sine(x * 9 + y * 4) + sine(z * 9));
    return d + weave + 0.06 * noise(seed, x * 0.9, y * 0.9, z * 1.4);
  };
}

import { type Affine, transformMesh } from '../core/affine.ts';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { boundsOf } from '../core/mesh/boundsOf.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { rotationOf } from '../core/mesh/rotationOf.ts';
import { drawPicture, type PictureShape } from '../core/picture/drawPicture.ts';
import { pictureBounds, spanOf } from '../core/picture/pictureBounds.ts';
import { tones } from '../core/picture/tones.ts';
import type { PoseFigures } from '../core/pose/poseFigures.ts';
import { clusterMesh } from '../core/surface/clusterMesh.ts';
import { boxMesh } from '../solid/boxMesh.ts';
import { pngOf } from './pngOf.ts';

const PIXELS = 256;
/** As fine as the picture shows. */
const FACETS = 120_000;
/** Of what the part stands on, mm. */
const PLATE_MM = 1.5;

/**
 * A PNG of a part in each of some poses, raised as it would be, over as much of the plate as it takes with the feet of its
 * supports. All at one scale, so that they can be compared. `skin` at finished size, source axes.
 */
export function posePictures(
  skin: Mesh,
  poses: readonly PoseFigures[],
  interrupter: Interrupter,
): Uint8Array[] {
  if (poses.length === 0) return [];
  const { mesh } = clusterMesh(skin, FACETS, portion(interrupter, 0, 0.4));
  const scenes = poses.map((pose) => sceneOf(mesh, pose));
  const spanMm = Math.max(0, ...scenes.map((scene) => spanOf(pictureBounds(scene))));
  return scenes.map((scene, n) => {
    const [from, to] = [0.4 + (0.6 * n) / scenes.length, 0.4 + (0.6 * (n + 1)) / scenes.length];
    return pngOf(drawPicture(scene, PIXELS, spanMm, portion(interrupter, from, to)));
  });
}

function sceneOf(mesh: Mesh, { turn, raiseMm, fit }: PoseFigures): PictureShape[] {
  const [x, y] = fit.heldMm;
  const plate = boxMesh({ min: [-x / 2, -y / 2, -PLATE_MM], max: [x / 2, y / 2, 0] });
  return [
    { mesh: plate, tone: tones.plate },
    { mesh, tone: tones.part, frame: standing(mesh, turn, raiseMm) },
  ];
}

/** Turned, in the plate's middle, its lowest point raised. */
function standing(mesh: Mesh, turn: PoseFigures['turn'], raiseMm: number): Affine {
  const linear = [...rotationOf(turn)];
  const { min, max } = boundsOf(transformMesh(mesh, { linear, shift: [0, 0, 0] }).positions);
  return { linear, shift: [-(min[0] + max[0]) / 2, -(min[1] + max[1]) / 2, raiseMm - min[2]] };
}

import { afterScaling, applyAffine } from '../core/affine.ts';
import type { Cavity, Chamber } from '../core/field/cavity.ts';
import type { ChamberFacts, ChamberReach, HollowFacts } from '../core/kit/partFacts.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import type { PosedPart } from './posedPart.ts';

/** The cavity's facts carried over from source axes at finished size into the print frame. */
export function hollowFacts(
  { request, cavity, posed, pose }: PosedPart,
  solidMm3: number,
): Omit<HollowFacts, 'resinMm3'> {
  const toPrint = afterScaling(pose.frame, 1 / request.factor);
  const inPrint = ({ volumeMm3, centroid }: Chamber): ChamberFacts => ({
    volumeMm3,
    centroid: applyAffine(toPrint, centroid),
  });
  const reach = chamberReach(cavity, posed.cavity);
  return {
    wallMm: request.wall,
    chambers: cavity?.chambers.map((chamber, index) => ({ ...inPrint(chamber), ...reach[index]! })) ?? [],
    leftSolid: cavity?.leftSolid.map(inPrint) ?? [],
    thinnest:
      cavity === null || cavity.thinnest === null
        ? null
        : { ...cavity.thinnest, at: applyAffine(toPrint, cavity.thinnest.at) },
    kept:
      // The linings of lights stand after them.
      cavity?.keptMm3.slice(0, request.keepSolid.length).map((volumeMm3, at) => ({
        index: request.keepSolid[at]!.index,
        volumeMm3,
        centroid: applyAffine(pose.frame, request.keepSolid[at]!.at),
      })) ?? [],
    lumps: cavity?.lumps.map((lump) => ({ ...lump, at: applyAffine(toPrint, lump.at) })) ?? [],
    deepestMm: cavity?.deepestMm ?? null,
    solidMm3,
  };
}

function chamberReach(cavity: Cavity | null, posed: Mesh | null): ChamberReach[] {
  if (cavity === null || posed === null) return [];
  const bottom = new Float64Array(cavity.chambers.length).fill(Infinity);
  const top = new Float64Array(cavity.chambers.length).fill(-Infinity);
  for (let corner = 0; corner < posed.triangles.length; corner++) {
    const chamber = cavity.facetChamber[Math.floor(corner / 3)]!;
    const z = posed.positions[3 * posed.triangles[corner]! + 2]!;
    if (z < bottom[chamber]!) bottom[chamber] = z;
    if (z > top[chamber]!) top[chamber] = z;
  }
  return cavity.chambers.map((_, chamber) => ({ bottom: bottom[chamber]!, top: top[chamber]! }));
}

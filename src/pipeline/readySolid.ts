import { lightCaution } from '../core/kit/lightCaution.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { isSweepable, sweptTube } from '../core/lights/sweptTube.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import { cutterMesh } from '../core/openings/cutterMesh.ts';
import { failure, type Result, success } from '../core/result.ts';
import { makeReady, type ReadySolid } from '../solid/makeReady.ts';
import type { PartMeshes } from './measurePart.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';

/** The written solid may differ from the measured one by the facets of its bores and by rounding. */
const volumeTolerance = 2e-3;

/** A measured part hollowed and opened, its bores wider by their loss, proven closed and weighed. Print frame; `volume` in mm³. */
export async function readySolid(
  name: string,
  { outer, cavity }: PartMeshes,
  facts: PartFacts,
  boreLossMm: number,
  context: StageContext,
): Promise<Result<ReadySolid & { readonly volume: number }>> {
  if (!facts.mesh.sound) {
    return failure(
      'solid-not-closed',
      `${name}: the mesh cannot be made watertight, so no ready file is written. Mend it in the sculpting program.`,
    );
  }
  const bores = facts.openings.flatMap(({ placed }) => (placed === null ? [] : [placed]));
  // One that is named for this part and never enters it is a finding, and cuts nothing.
  const lights = facts.lights.filter(({ passes }) => passes.length > 0);
  const tight = lights.find(({ points, radiusMm }) => !isSweepable(points, radiusMm + boreLossMm / 2));
  if (tight !== undefined) {
    return failure(
      'solid-failed',
      `${name}: the light ${tight.name} bends more tightly than its tube is wide, so it cannot be cut. Move its points apart.`,
    );
  }
  const cutters = [
    ...bores.map((bore) => cutterMesh({ ...bore, radius: bore.radius + boreLossMm / 2 })),
    ...lights.map(({ points, radiusMm }) => sweptTube(points, radiusMm + boreLossMm / 2)),
  ];
  const solid = makeReady(await solidKernel(), outer, cavity, cutters, context.stage('making ready'));
  if (!solid.ok) return solid;
  const { volume } = massProperties(solid.value.mesh, context.stage('weighing'));
  const promised = facts.hollow.resinMm3;
  const wider = [
    ...bores.map(({ radius, depth, outward }) => ring(radius, boreLossMm) * (depth + outward)),
    ...lights.flatMap(({ passes, radiusMm }) =>
      passes.map(({ fromMm, toMm }) => ring(radiusMm, boreLossMm) * (toMm - fromMm)),
    ),
  ].reduce((sum, mm3) => sum + mm3, 0);
  const tolerance = volumeTolerance * promised;
  if (volume > promised + tolerance || volume < promised - tolerance - wider) {
    return failure(
      'solid-failed',
      `${name}: the solid has ${(volume / 1000).toFixed(2)} ml where the check measured ${(promised / 1000).toFixed(2)} ml; nothing was written. Please report this part.`,
    );
  }
  const lit = lights.map((light) => `The tube of the light ${light.name} is cut. ${lightCaution}`);
  return success({ ...solid.value, notes: [...solid.value.notes, ...lit], volume });
}

/** Area by which a bore is drilled wider, mm². */
const ring = (radius: number, lossMm: number): number => Math.PI * ((radius + lossMm / 2) ** 2 - radius ** 2);

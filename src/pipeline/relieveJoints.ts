import { type Affine, transformMesh } from '../core/affine.ts';
import { portion } from '../core/interrupter.ts';
import { figure, plural } from '../core/kit/rules/figures.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { failure, type Result, success } from '../core/result.ts';
import { type Relieved, relieve } from '../solid/relieve.ts';
import { atFinishedSize } from './atFinishedSize.ts';
import { fieldKernel } from './fieldKernel.ts';
import { withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { PosedMeshes } from './posePart.ts';
import { solidKernel } from './solidKernel.ts';
import type { StageContext } from './stageContext.ts';

/** What a part gives way for. Plain data. */
export interface PartClearances {
  readonly reliefs: readonly JointRelief[];
  /** Why others, that were asked for, are not cut: a sentence each. */
  readonly unmade: readonly string[];
}

export interface JointRelief {
  /** The joint's name in the manifest. */
  readonly joint: string;
  readonly clearanceMm: number;
  /** The part that stays as it is. */
  readonly other: PartRequest;
  /** From source axes at finished size to the print frame of the part that gives. */
  readonly toPrint: Affine;
}

export const noClearances: PartClearances = { reliefs: [], unmade: [] };

interface Weighed {
  readonly mesh: Mesh;
  readonly notes: readonly string[];
  readonly volume: number;
}

/** The gap may come out so much less than asked before it is told: three times what the field leaves uncertain, mm. */
const SHORT_MM = 0.05;

/**
 * Takes from a ready solid what is nearer to other parts than their joints' clearances. Print frame. `posed`: its
 * surfaces before it was opened. Fails `solid-failed` where that would open the hollow.
 */
export async function relieveJoints(
  { name, limits }: Pick<PartRequest, 'name' | 'limits'>,
  solid: Weighed,
  { outer, cavity }: PosedMeshes,
  { reliefs, unmade }: PartClearances,
  context: StageContext,
): Promise<Result<Weighed>> {
  let { mesh, volume } = solid;
  const notes = [...solid.notes];
  for (const { joint, clearanceMm, other, toPrint } of reliefs) {
    const prepared = await withStages(other, context, false, (stages) => stages.prepared());
    if (!prepared.ok) return prepared;
    const placed = transformMesh(atFinishedSize(prepared.value.clean, other.factor), toPrint);
    const cutting = context.stage('cutting a clearance');
    const made = relieve(
      await solidKernel(),
      { solid: mesh, outer, cavity },
      placed,
      clearanceMm,
      limits.leastWall,
      fieldKernel(),
      portion(cutting, 0, 0.95),
    );
    if (!made.ok) return failure(made.error.code, `${name}, clearance of ${joint}: ${made.error.message}`);
    notes.push(...told(joint, clearanceMm, other.name, limits.leastWall, made.value));
    if (made.value === null) continue;
    mesh = made.value.mesh;
    ({ volume } = massProperties(mesh, portion(cutting, 0.95, 1)));
  }
  return success({ mesh, volume, notes: [...notes, ...unmade] });
}

function told(
  joint: string,
  clearanceMm: number,
  other: string,
  leastWallMm: number,
  made: Relieved | null,
): string[] {
  const what = `The clearance of ${joint}, ${figure(clearanceMm, 'mm')} to ${other},`;
  if (made === null) return [`${what} is there already: nothing was cut.`];
  const { takenMm3, gapMm, thinWallMm, loosePieces } = made;
  return [
    `${what} is cut: ${figure(takenMm3 / 1000, 'ml')} were taken off.`,
    ...(gapMm < clearanceMm - SHORT_MM
      ? [`In a spot only ${figure(gapMm, 'mm')} came out between them: look there before you glue.`]
      : []),
    ...(thinWallMm === null
      ? []
      : [
          `That leaves a wall of ${figure(thinWallMm, 'mm')} to the hollow, less than ${figure(leastWallMm, 'mm')} (limits.least-wall).`,
        ]),
    ...(loosePieces === 0
      ? []
      : [
          `The cut leaves ${plural(loosePieces, 'piece')} loose, which would fall into the vat: let the other part give, or ask for less.`,
        ]),
    ...made.notes,
  ];
}

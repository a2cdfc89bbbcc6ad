import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import { type Interrupter, portion } from '../core/interrupter.ts';
import { figure } from '../core/kit/rules/figures.ts';
import { boundsOf } from '../core/mesh/boundsOf.ts';
import { massProperties } from '../core/mesh/massProperties.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { type PieceFigures, type PieceSetting, pieceFigures } from '../core/proof/pieceFigures.ts';
import { boxRound, type ProofBoxes } from '../core/proof/proofBoxes.ts';
import type { ProofPlace } from '../core/proof/proofPlace.ts';
import { failure, type Result, success } from '../core/result.ts';
import type { Box, Vec3 } from '../core/vector.ts';
import { boxMesh } from './boxMesh.ts';
import { clipNearby, clipWhole } from './clipNearby.ts';
import { cutProof, type ProofCut } from './cutProof.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope, type SolidScope } from './solidScope.ts';

/** A piece of a part, standing on the plate in the direction in which the part is built. */
export interface ProofPiece extends Omit<ProofCut, 'mesh'> {
  /** Print frame, its bounding box centred on the plate, lowest point at 0. */
  readonly mesh: Mesh;
  readonly volumeMm3: number;
  readonly figures: PieceFigures;
  /** The box it was cut by, in the part's print frame. */
  readonly box: Box;
  /** What was done otherwise than usual, a sentence each. */
  readonly notes: readonly string[];
}

/** A ceiling with less under it would lie on the plate, mm. */
const leastUnderMm = 1;

/**
 * Cuts a piece out of a closed part in print pose. Of the boxes the first is taken by which the piece
 * stands and nothing of it starts in air; else the one by which it stands and least does.
 *
 * Fails `place-outside` where nothing of the part lies in the boxes, `option-invalid` where only the
 * ceiling itself does.
 */
export function proofPiece(
  kernel: ManifoldToplevel,
  whole: Mesh,
  place: ProofPlace,
  boxes: ProofBoxes,
  setting: PieceSetting,
  interrupter: Interrupter,
): Result<ProofPiece> {
  const blank = boxMesh(boxRound(boxes.boxes));
  const near = clipNearby(kernel, whole, blank, portion(interrupter, 0, 0.4));
  const clipped = 'unclean' in near ? clipWhole(kernel, whole, blank) : near;
  if ('unclean' in clipped) return failure('solid-failed', `The piece cannot be cut: ${clipped.unclean}.`);
  const notes = 'unclean' in near ? [`It was cut out of the part as a whole, because ${near.unclean}.`] : [];
  // Made once for all boxes: to take the mesh in is most of the work.
  return inSolidScope(kernel, (scope) =>
    bestPiece(scope, scope.solidOf(clipped), place, boxes, setting, notes, portion(interrupter, 0.4, 1)),
  );
}

function bestPiece(
  scope: SolidScope,
  solid: Manifold,
  place: ProofPlace,
  { boxes }: ProofBoxes,
  setting: PieceSetting,
  notes: readonly string[],
  interrupter: Interrupter,
): Result<ProofPiece> {
  let best: ProofPiece | null = null;
  let onPlate = false;
  for (const [n, box] of boxes.entries()) {
    interrupter(n / boxes.length);
    const cut = cutProof(scope, solid, box, place.at);
    if (!cut.ok) return cut;
    if (cut.value.mesh.triangles.length === 0) continue;
    if (place.kind === 'ceiling' && boundsOf(cut.value.mesh.positions).min[2] > place.at[2] - leastUnderMm) {
      onPlate = true;
      continue;
    }
    const piece = {
      ...standing(cut.value, setting, portion(interrupter, n / boxes.length, (n + 1) / boxes.length)),
      box,
      notes,
    };
    if (best === null || isBetter(piece.figures, best.figures)) best = piece;
    if (faultsOf(best.figures) === 0) break;
  }
  if (best !== null) return success(best);
  if (onPlate)
    return failure(
      'option-invalid',
      'A piece of this size holds nothing that the ceiling stands on, so it would lie on the plate; ask for a larger --size.',
    );
  return failure(
    'place-outside',
    `Nothing of the part lies within ${figure((boxes[0]!.max[0] - boxes[0]!.min[0]) / 2, 'mm')} of the place; ask for a larger --size or another place.`,
  );
}

function standing(
  { mesh, others, othersMm3 }: ProofCut,
  setting: PieceSetting,
  interrupter: Interrupter,
): Omit<ProofPiece, 'box' | 'notes'> {
  const { min, max } = boundsOf(mesh.positions);
  // Vertices that the move rounds to one point would be welded by whoever reads the file.
  const placed = separateVertices(shifted(mesh, [-(min[0] + max[0]) / 2, -(min[1] + max[1]) / 2, -min[2]]));
  return {
    mesh: placed,
    others,
    othersMm3,
    volumeMm3: massProperties(placed, interrupter).volume,
    figures: pieceFigures(placed, setting, interrupter),
  };
}

const islandMm2 = ({ islands }: PieceFigures): number =>
  islands.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
const faultsOf = (figures: PieceFigures): number => (figures.stands ? 0 : 1) + figures.islands.length;

function isBetter(a: PieceFigures, b: PieceFigures): boolean {
  return a.stands === b.stands ? islandMm2(a) < islandMm2(b) : a.stands;
}

function shifted({ positions, triangles }: Mesh, shift: Vec3): Mesh {
  return { positions: positions.map((value, at) => value + shift[at % 3]!), triangles };
}

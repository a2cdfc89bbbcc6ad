import type { Affine } from '../core/affine.ts';
import { type ChangeEffect, changeEffects } from '../core/explain/changeEffects.ts';
import { type TriedChange, triedChanges } from '../core/explain/triedChanges.ts';
import { type Verdict, verdictOf } from '../core/explain/verdict.ts';
import type { Manifest, Part } from '../core/kit/manifest.ts';
import type { PartFacts } from '../core/kit/partFacts.ts';
import { type Result, success } from '../core/result.ts';
import { barsOfPlan } from '../core/supports/supportBodies.ts';
import { decidedPart } from './decidedPart.ts';
import { lateDecisions } from './lateDecisions.ts';
import { measurePart, withStages } from './measurePart.ts';
import type { PartRequest } from './partRequest.ts';
import type { StageContext } from './stageContext.ts';
import { withSupports } from './withSupports.ts';

export interface ExplainRequest extends PartRequest {
  /** By which the rules judge. */
  readonly manifestText: string;
}

export interface ExplainedPart {
  readonly facts: PartFacts;
  /** Source coordinates → print frame. */
  readonly frame: Affine;
  readonly verdict: Verdict;
  /** The strongest first. */
  readonly effects: readonly ChangeEffect[];
  /** Phrases of the changes that would have taken too long. */
  readonly notTried: readonly string[];
}

/** Larger parts are not hollowed again for a question: it takes seconds each time. */
const mostTrianglesAnew = 200_000;

/** Measures a part as it stands and with one decision after the other taken otherwise; nothing of these is kept. */
export async function explainPart(
  request: ExplainRequest,
  context: StageContext,
): Promise<Result<ExplainedPart>> {
  const { manifest, part } = decidedPart(request.manifestText, request.name);
  const { machine, film, resin, openings, wall, turn } = request;
  const changes = triedChanges({
    openings,
    lift: machine.lift,
    film,
    viscosity: resin.viscosity,
    wall,
    turn,
  });
  return withStages(request, context, false, async (stages): Promise<Result<ExplainedPart>> => {
    const measured = await stages.facts();
    if (!measured.ok) return measured;
    const pose = await stages.pose();
    if (!pose.ok) return pose;
    const facts = { name: part.name, ...measured.value };
    const verdict = verdictOf({ manifest, part, facts });
    const isTried = ({ anew }: TriedChange) => !anew || facts.mesh.topology.triangles <= mostTrianglesAnew;
    const tried: { what: string; after: Verdict }[] = [];
    for (const change of changes.filter(isTried)) {
      const changed = changedRequest(request, change);
      const after = change.anew
        ? await measuredAnew(changed, context)
        : await stages.tried(changed.openings, lateDecisions(changed), true);
      if (!after.ok) return after;
      // Supports that another opening or film asks for would take as long again: they stay as they are.
      const { supports, loads } = change.anew ? after.value : withSupportsOf(facts, after.value, changed);
      const judged = changedContext(manifest, part, change, {
        name: part.name,
        ...after.value,
        loads,
        supports,
      });
      tried.push({ what: change.what, after: verdictOf(judged) });
    }
    return success({
      facts,
      frame: pose.value.frame,
      verdict,
      effects: changeEffects(verdict, tried),
      notTried: changes.filter((change) => !isTried(change)).map(({ what }) => what),
    });
  });
}

function withSupportsOf(
  { supports, layers }: PartFacts,
  { loads }: Pick<PartFacts, 'loads'>,
  request: PartRequest,
): Pick<PartFacts, 'loads' | 'supports'> {
  if (supports === null || request.supports === null) return { supports, loads };
  const bars = barsOfPlan(supports, request.supports);
  return { supports, loads: withSupports(loads, supports, bars, layers.layerHeight, request) };
}

/** Outside the kit's cache, which is for what the builder has decided. */
async function measuredAnew(
  request: PartRequest,
  context: StageContext,
): Promise<Result<Omit<PartFacts, 'name'>>> {
  const options = { keepMeshes: false, hashAgain: false };
  const result = await measurePart({ ...request, kitDir: null }, context, options);
  return result.ok ? success(result.value.facts) : result;
}

function changedRequest<T extends PartRequest>(request: T, { decisions }: TriedChange): T {
  const { openings, lift, film, viscosity, wall, turn } = decisions;
  return {
    ...request,
    openings: openings ?? request.openings,
    machine: { ...request.machine, lift: lift ?? request.machine.lift },
    film: film ?? request.film,
    resin: { ...request.resin, viscosity: viscosity ?? request.resin.viscosity },
    wall: wall === undefined ? request.wall : wall,
    turn: turn ?? request.turn,
  };
}

function changedContext(manifest: Manifest, part: Part, { decisions }: TriedChange, facts: PartFacts) {
  const { openings, lift, film, wall, turn } = decisions;
  return {
    manifest: {
      ...manifest,
      machine: { ...manifest.machine, lift: lift ?? manifest.machine.lift },
      film: film ?? manifest.film,
    },
    part: {
      ...part,
      openings: openings ?? part.openings,
      wall: wall === undefined ? part.wall : wall,
      turn: turn ?? part.turn,
    },
    facts,
  };
}

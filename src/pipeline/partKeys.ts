import type { CutDecision } from '../core/cut/cutDecision.ts';
import { keptRegions } from './keptRegions.ts';
import { lateDecisions } from './lateDecisions.ts';
import { layerOptions, printLattice } from './layerDecisions.ts';
import type { PartRequest } from './partRequest.ts';
import type { Pose } from './posePart.ts';
import { stageKey } from './stageCache.ts';

/** The keys of a part's stages: each names the result by everything that it depends on, and by nothing else. */
export interface PartKeys {
  /** Of the file as read and mended. */
  readonly whole: string;
  /** Of both halves that each cut makes, in the order of the cuts. */
  readonly halves: readonly string[];
  /** Of what the cuts leave of the file. */
  readonly mesh: string;
  readonly cavity: string;
  /** Of the cavity's cells. */
  readonly cells: string;
  /** Of the lobes and necks of its chambers. */
  readonly network: string;
  /** Of where the sculpt itself is thin. */
  readonly sheets: string;
  /** Of the hollows' walls in pieces. */
  readonly panels: string;
  /** Of what is thin or loose in the hollow. */
  readonly faults: string;
  readonly pose: string;
  /** Of both meshes as posed. */
  readonly posed: string;
  /** Whether a machine changes the layers is told by the bounds of the pose. */
  layers(pose: Pose): string;
  /** Of the limbs' lobes. */
  lobes(pose: Pose): string;
  /** Of the walls in pieces as they stand. */
  standing(pose: Pose): string;
  facts(pose: Pose): string;
}

export function partKeys(request: PartRequest, fileHash: string): PartKeys {
  const { factor, turn, raise, wall, limits, machine } = request;
  const whole = stageKey('mesh', [fileHash, limits.triangles]);
  const halves: string[] = [];
  let mesh = whole;
  for (const { cut, side } of request.cuts) {
    const both = stageKey('halves', [mesh, factor, ownCut(cut)]);
    halves.push(both);
    mesh = stageKey('half', [both, side]);
  }
  const cavity = stageKey('cavity', [mesh, factor, wall, limits.leastChamber, keptRegions(request)]);
  const cells = stageKey('cells', [cavity]);
  const sheets = stageKey('sheets', [mesh, factor, limits.leastWall]);
  const faults = stageKey('faults', [cavity, limits.leastWall]);
  const pose = stageKey('pose', [mesh, factor, turn, raise]);
  const layers = ({ mass }: Pose): string =>
    stageKey('layers', [cavity, pose, printLattice(mass.bounds, machine), layerOptions(request)]);
  return {
    whole,
    halves,
    mesh,
    cavity,
    cells,
    network: stageKey('network', [cells]),
    sheets,
    panels: stageKey('panels', [cavity]),
    faults,
    pose,
    posed: stageKey('posed', [cavity, pose]),
    layers,
    lobes: (posed) => stageKey('lobes', [layers(posed)]),
    standing: (posed) => stageKey('standing', [layers(posed)]),
    facts: (posed) => stageKey('facts', [layers(posed), faults, lateDecisions(request)]),
  };
}

/** Of its passages and lights only what keys keep clear of: how deep a passage goes is a matter of the halves' openings. */
const ownCut = ({ passages, lights, ...cut }: CutDecision) => ({
  ...cut,
  passages: passages.map(({ at, diameter }) => [at, diameter]),
  lights: lights.map(({ path, radiusMm, liningMm }) => [path, radiusMm, liningMm]),
});

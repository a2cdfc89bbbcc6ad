import { buildFacetTree, type FacetTree } from '../field/facetTree.ts';
import { type Interrupter, portion } from '../interrupter.ts';
import { joinSets, numberSets, singletons } from '../unionFind.ts';
import type { Box, Vec3 } from '../vector.ts';
import type { ShellLabels } from './labelShells.ts';
import type { Mesh } from './mesh.ts';
import { shellContacts } from './shellContacts.ts';
import { shellsAround } from './shellsAround.ts';
import type { ShellFacts, TopologyReport } from './topologyReport.ts';

export interface ClassifiedShells {
  readonly shells: readonly ShellFacts[];
  /** True when winding numbers other than 0 and 1 come from shells that overlap, touch by a face or stand doubled. */
  readonly needsUnion: boolean;
}

/** Points asked per shell; fewer each when there are very many shells. */
const mostSamples = 9;
const samplesInAll = 20_000;

/**
 * Tells what each shell of a mended mesh is to the others, in the mesh's own frame.
 *
 * Surfaces that meet are found exactly, facet against facet, so that no overlap is too small. What
 * surrounds a shell is asked by rays from points spread over it: shells that meet no other lie wholly on
 * one side of each, so a single point would do; the majority decides for those that do meet.
 * Groups: shells that meet, share a corner, or lie in each other's solid (a void in its body, a doubled
 * shell). A loose piece inside a void is a group of its own.
 *
 * A shell that passes through itself is not looked for here: it shows as winding 2 in the ray grid, whose
 * solid is winding ≥ 1, and its volume in `ShellFacts` counts the overlap twice. `report`: that of the mesh,
 * when it is known.
 */
export function classifyShells(
  mesh: Mesh,
  labels: ShellLabels,
  interrupter: Interrupter,
  report?: TopologyReport,
): ClassifiedShells {
  if (labels.count === 1 && report?.watertight) return { shells: [onlyShell(report)], needsUnion: false };
  const figures = measureShells(mesh, labels);
  if (labels.count === 0) return { shells: [], needsUnion: false };
  if (labels.count === 1) {
    const kind = figures.volume[0]! < 0 ? 'inverted' : 'body';
    return { shells: [shellFacts(figures, 0, kind, false, 0)], needsUnion: false };
  }
  const tree = buildFacetTree(mesh);
  interrupter(0.2);
  const contacts = shellContacts(tree, labels, portion(interrupter, 0.2, 0.6));
  const groups = singletons(labels.count);
  const overlaps = new Uint8Array(labels.count);
  for (const pair of contacts.touching)
    joinSets(groups, Math.floor(pair / labels.count), pair % labels.count);
  for (const pair of contacts.meeting) {
    overlaps[Math.floor(pair / labels.count)] = 1;
    overlaps[pair % labels.count] = 1;
  }
  const inside = surroundings(mesh, labels, tree, figures.volume, groups, portion(interrupter, 0.6, 1));
  const kinds = Array.from(inside, (within, shell) =>
    kindOf(figures.volume[shell]!, within !== 0, overlaps[shell] !== 0),
  );
  const { label: group } = numberSets(groups);
  return {
    shells: kinds.map((kind, shell) =>
      shellFacts(figures, shell, kind, overlaps[shell] !== 0, group[shell]!),
    ),
    needsUnion: contacts.meeting.size > 0 || kinds.includes('doubled'),
  };
}

const onlyShell = ({ triangles, signedVolume: volume, bounds }: TopologyReport): ShellFacts => {
  const kind = volume < 0 ? 'inverted' : 'body';
  return { triangles, volume, bounds, kind, overlaps: false, group: 0 };
};

/** A body that crosses another's surface is an overlapping body however much of it lies inside. */
function kindOf(volume: number, inside: boolean, overlaps: boolean): ShellFacts['kind'] {
  if (volume < 0) return inside ? 'void' : 'inverted';
  return inside && !overlaps ? 'doubled' : 'body';
}

interface ShellFigures {
  readonly triangles: Uint32Array;
  readonly volume: Float64Array;
  /** Six values a shell: min x,y,z, max x,y,z. */
  readonly bounds: Float64Array;
}

function measureShells(mesh: Mesh, { label, count }: ShellLabels): ShellFigures {
  const figures = {
    triangles: new Uint32Array(count),
    volume: new Float64Array(count),
    bounds: new Float64Array(6 * count),
  };
  // Volumes are taken about a corner of each shell, which keeps the terms small.
  const origin = new Float64Array(3 * count);
  for (let from = 0; from < label.length; ) {
    const to = count === 1 ? label.length : runEnd(label, from);
    measureRun(mesh, label[from]!, from, to, figures, origin);
    from = to;
  }
  return figures;
}

/** End of the facets from `from` on that have one label. */
function runEnd(label: Uint32Array, from: number): number {
  let to = from + 1;
  while (to < label.length && label[to] === label[from]) to++;
  return to;
}

function measureRun(
  { positions: p, triangles: t }: Mesh,
  shell: number,
  from: number,
  to: number,
  { triangles, volume, bounds }: ShellFigures,
  origin: Float64Array,
): void {
  const box = bounds.subarray(6 * shell, 6 * shell + 6);
  if (triangles[shell] === 0) {
    for (let axis = 0; axis < 3; axis++) {
      const value = p[3 * t[3 * from]! + axis]!;
      origin[3 * shell + axis] = value;
      box[axis] = value;
      box[axis + 3] = value;
    }
  }
  triangles[shell]! += to - from;
  const ox = origin[3 * shell]!;
  const oy = origin[3 * shell + 1]!;
  const oz = origin[3 * shell + 2]!;
  let [lowX, lowY, lowZ, highX, highY, highZ] = box as unknown as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  let sum = volume[shell]!;
  for (let f = from; f < to; f++) {
    const a = 3 * t[3 * f]!;
    const b = 3 * t[3 * f + 1]!;
    const c = 3 * t[3 * f + 2]!;
    const ax = p[a]!;
    const ay = p[a + 1]!;
    const az = p[a + 2]!;
    const bx = p[b]!;
    const by = p[b + 1]!;
    const bz = p[b + 2]!;
    const cx = p[c]!;
    const cy = p[c + 1]!;
    const cz = p[c + 2]!;
    lowX = Math.min(lowX, ax, bx, cx);
    lowY = Math.min(lowY, ay, by, cy);
    lowZ = Math.min(lowZ, az, bz, cz);
    highX = Math.max(highX, ax, bx, cx);
    highY = Math.max(highY, ay, by, cy);
    highZ = Math.max(highZ, az, bz, cz);
    sum +=
      ((ax - ox) * ((by - oy) * (cz - oz) - (bz - oz) * (cy - oy)) +
        (ay - oy) * ((bz - oz) * (cx - ox) - (bx - ox) * (cz - oz)) +
        (az - oz) * ((bx - ox) * (cy - oy) - (by - oy) * (cx - ox))) /
      6;
  }
  volume[shell] = sum;
  box.set([lowX, lowY, lowZ, highX, highY, highZ]);
}

/** Per shell 1 when most of its sampled points lie in the solid of the others; joins it with those in `groups`. */
function surroundings(
  mesh: Mesh,
  labels: ShellLabels,
  tree: FacetTree,
  volume: Float64Array,
  groups: Uint32Array,
  interrupter: Interrupter,
): Uint8Array {
  const inside = new Uint8Array(labels.count);
  const samples = Math.max(1, Math.min(mostSamples, Math.floor(samplesInAll / labels.count)));
  const { start, facets } = facetsByShell(labels);
  for (let shell = 0; shell < labels.count; shell++) {
    interrupter(shell / labels.count);
    const size = start[shell + 1]! - start[shell]!;
    let within = 0;
    const asked = Math.min(samples, size);
    for (let i = 0; i < asked; i++) {
      const facet = facets[start[shell]! + Math.floor(((i + 0.5) * size) / asked)]!;
      const around = shellsAround(tree, labels, centroidOf(mesh, facet), shell);
      const winding = [...around.values()].reduce((sum, w) => sum + w, 0);
      if (winding < 1) continue;
      within++;
      for (const other of solidAround(around, volume)) joinSets(groups, shell, other);
    }
    if (2 * within > asked) inside[shell] = 1;
  }
  return inside;
}

/**
 * The shells whose solid a point lies in: from the smallest shell around it outward, up to the first void,
 * which parts it from all that lies further out.
 */
function solidAround(around: ReadonlyMap<number, number>, volume: Float64Array): number[] {
  const outward = [...around].sort((a, b) => Math.abs(volume[a[0]]!) - Math.abs(volume[b[0]]!));
  const solid: number[] = [];
  for (const [shell, winding] of outward) {
    if (winding > 0) solid.push(shell);
    else if (solid.length > 0) break;
  }
  return solid;
}

function facetsByShell({ label, count }: ShellLabels): { start: Uint32Array; facets: Uint32Array } {
  const start = new Uint32Array(count + 2);
  for (const shell of label) start[shell + 2]!++;
  for (let shell = 0; shell < count; shell++) start[shell + 2]! += start[shell + 1]!;
  const facets = new Uint32Array(label.length);
  for (let f = 0; f < label.length; f++) facets[start[label[f]! + 1]!++] = f;
  return { start, facets };
}

function centroidOf({ positions: p, triangles: t }: Mesh, facet: number): Vec3 {
  const a = 3 * t[3 * facet]!;
  const b = 3 * t[3 * facet + 1]!;
  const c = 3 * t[3 * facet + 2]!;
  return [
    (p[a]! + p[b]! + p[c]!) / 3,
    (p[a + 1]! + p[b + 1]! + p[c + 1]!) / 3,
    (p[a + 2]! + p[b + 2]! + p[c + 2]!) / 3,
  ];
}

function shellFacts(
  { triangles, volume, bounds }: ShellFigures,
  shell: number,
  kind: ShellFacts['kind'],
  overlaps: boolean,
  group: number,
): ShellFacts {
  const at = 6 * shell;
  const box: Box = {
    min: [bounds[at]!, bounds[at + 1]!, bounds[at + 2]!],
    max: [bounds[at + 3]!, bounds[at + 4]!, bounds[at + 5]!],
  };
  return { triangles: triangles[shell]!, volume: volume[shell]!, bounds: box, kind, overlaps, group };
}

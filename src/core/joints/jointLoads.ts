import { cross, dot, norm, subtract, type Vec3 } from '../vector.ts';
import type { FigurePart } from './balanceFigure.ts';
import type { Joint } from './joint.ts';

/** Two parts that meet, and where the load is taken: source axes at finished size, mm. */
export interface BearingJoint {
  readonly first: string;
  readonly second: string;
  readonly joint: Joint;
  readonly at: Vec3;
  /** Decided on: it bears before others do. */
  readonly isPinned: boolean;
}

/** What hangs on a joint. Source axes at finished size, mm. */
export interface JointLoad {
  /** The parts beyond it, as seen from the ground. */
  readonly beyond: readonly string[];
  readonly massG: number;
  /** Their centre of mass. */
  readonly at: Vec3;
  /** Level distance of that centre from the joint as the figure stands, and the straight one: the lever at worst. */
  readonly leverMm: number;
  readonly armMm: number;
}

/** What touches by less than this leans on its neighbour and bears nothing. */
const LEAST_BEARING_MM2 = 20;

/**
 * The load of each joint, by the way in which the parts hang from the ground: of joints that make a ring the pinned ones
 * bear, then those of the largest contact, and the one that closes the ring bears nothing (null). So a load is
 * rather told too high. Null as well where neither side reaches the ground.
 */
export function jointLoads(
  joints: readonly BearingJoint[],
  parts: readonly FigurePart[],
  standsOn: readonly string[],
  up: Vec3,
): (JointLoad | null)[] {
  const branches = bearingTree(joints, standsOn);
  const loads: (JointLoad | null)[] = joints.map(() => null);
  const walk = (part: string, from: number): string[] => {
    const own = (branches.get(part) ?? []).filter((n) => n !== from);
    return [part, ...own.flatMap((n) => load(n, part))];
  };
  const load = (n: number, near: string): string[] => {
    const { first, second, at } = joints[n]!;
    const beyond = walk(first === near ? second : first, n);
    loads[n] = loadOf(beyond, parts, at, up);
    return beyond;
  };
  for (const part of standsOn) walk(part, -1);
  return loads;
}

/** Joints by the parts they hold in a tree that stands on the ground. */
function bearingTree(
  joints: readonly BearingJoint[],
  standsOn: readonly string[],
): ReadonlyMap<string, readonly number[]> {
  const rank = (n: number): number => (joints[n]!.isPinned ? Infinity : joints[n]!.joint.gap.areaMm2);
  const order = [...joints.keys()]
    .filter((n) => joints[n]!.isPinned || joints[n]!.joint.gap.areaMm2 >= LEAST_BEARING_MM2)
    .sort((a, b) => (rank(a) === rank(b) ? a - b : rank(b) - rank(a)));
  const group = new Map<string, string>();
  const rootOf = (part: string): string => {
    const up = group.get(part) ?? part;
    return up === part ? part : rootOf(up);
  };
  for (const part of standsOn) group.set(part, standsOn[0]!);
  const branches = new Map<string, number[]>();
  for (const n of order) {
    const { first, second } = joints[n]!;
    const [a, b] = [rootOf(first), rootOf(second)];
    if (a === b) continue;
    group.set(b, a);
    for (const part of [first, second]) branches.set(part, [...(branches.get(part) ?? []), n]);
  }
  return branches;
}

function loadOf(
  beyond: readonly string[],
  parts: readonly FigurePart[],
  joint: Vec3,
  up: Vec3,
): JointLoad | null {
  const weights = parts.filter(({ name }) => beyond.includes(name)).map(({ weight }) => weight);
  const massG = weights.reduce((sum, weight) => sum + weight.massG, 0);
  if (!(massG > 0)) return null;
  const at = [0, 1, 2].map(
    (axis) => weights.reduce((sum, weight) => sum + weight.massG * weight.at[axis]!, 0) / massG,
  ) as unknown as Vec3;
  const arm = subtract(at, joint);
  return { beyond, massG, at, leverMm: norm(cross(arm, up)) / Math.sqrt(dot(up, up)), armMm: norm(arm) };
}

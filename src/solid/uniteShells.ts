import type { ManifoldToplevel } from 'manifold-3d';
import type { Interrupter } from '../core/interrupter.ts';
import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { turnedRound } from '../core/mesh/turnedRound.ts';
import { failure, type Result, success } from '../core/result.ts';
import { isClosed } from './isClosed.ts';
import { separateVertices } from './separateVertices.ts';
import { inSolidScope, type SolidScope } from './solidScope.ts';
import { splitShells } from './splitShells.ts';

interface Shell {
  readonly mesh: Mesh;
  readonly volume: number;
  readonly min: readonly number[];
  readonly max: readonly number[];
}

/**
 * Makes one clean surface of overlapping shells: solid is where the winding number is at least 1.
 * Outward shells are united; an inward shell is taken out of the smallest outward one round it,
 * before the union, so that a void crossed by another body is filled by it. Inward shells with
 * nothing round them bound no solid and go. A shell whose box meets no other's keeps its facets to
 * the bit. A single shell that crosses itself stays as it is.
 *
 * `mesh` in mm, any frame. Fails `solid-not-closed` when a shell is open or not evenly oriented,
 * `solid-failed` when the kernel cannot unite.
 */
export function uniteShells(kernel: ManifoldToplevel, mesh: Mesh, interrupter: Interrupter): Result<Mesh> {
  const shells = splitShells(mesh).map(describe);
  if (!shells.every((shell) => isClosed(shell.mesh))) {
    return failure(
      'solid-not-closed',
      'The shells are not all closed and evenly oriented; repair the mesh first.',
    );
  }
  interrupter(0.1);
  const groups = groupsByBox(shells);
  const united: Mesh[] = [];
  for (const [n, group] of groups.entries()) {
    interrupter(0.1 + (0.9 * n) / groups.length);
    if (group.length === 1) {
      if (group[0]!.volume > 0) united.push(group[0]!.mesh);
      continue;
    }
    const result = inSolidScope(kernel, (scope) => success(uniteGroup(scope, group)));
    if (!result.ok) return result;
    if (result.value) united.push(result.value);
  }
  const whole = separateVertices(joinMeshes(united));
  if (isClosed(whole)) return success(whole);
  return failure(
    'solid-failed',
    'Uniting the shells left the mesh open; unite them in the sculpting program.',
  );
}

function describe(mesh: Mesh): Shell {
  const { positions: p, triangles: t } = mesh;
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < p.length; i++) {
    min[i % 3] = Math.min(min[i % 3]!, p[i]!);
    max[i % 3] = Math.max(max[i % 3]!, p[i]!);
  }
  let sixfold = 0;
  for (let at = 0; at < t.length; at += 3)
    sixfold += determinant(p, 3 * t[at]!, 3 * t[at + 1]!, 3 * t[at + 2]!, p[0]!, p[1]!, p[2]!);
  return { mesh, volume: sixfold / 6, min, max };
}

/** (a − o) · ((b − o) × (c − o)). */
function determinant(
  p: Float32Array,
  a: number,
  b: number,
  c: number,
  x: number,
  y: number,
  z: number,
): number {
  const ax = p[a]! - x;
  const ay = p[a + 1]! - y;
  const az = p[a + 2]! - z;
  const bx = p[b]! - x;
  const by = p[b + 1]! - y;
  const bz = p[b + 2]! - z;
  const cx = p[c]! - x;
  const cy = p[c + 1]! - y;
  const cz = p[c + 2]! - z;
  return ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
}

const boxesMeet = (a: Shell, b: Shell): boolean =>
  a.min.every((low, axis) => low <= b.max[axis]! && b.min[axis]! <= a.max[axis]!);

/** Shells whose boxes meet, directly or by others, in order of their first shell. Sweeps along x. */
function groupsByBox(shells: readonly Shell[]): Shell[][] {
  const parent = shells.map((_, n) => n);
  const root = (n: number): number => {
    let at = n;
    while (parent[at] !== at) at = parent[at]!;
    return at;
  };
  const byStart = shells.map((_, n) => n).sort((a, b) => shells[a]!.min[0]! - shells[b]!.min[0]! || a - b);
  let open: number[] = [];
  for (const n of byStart) {
    open = open.filter((other) => shells[other]!.max[0]! >= shells[n]!.min[0]!);
    for (const other of open) {
      if (boxesMeet(shells[n]!, shells[other]!)) {
        const [low, high] = [Math.min(root(n), root(other)), Math.max(root(n), root(other))];
        parent[high] = low;
      }
    }
    open.push(n);
  }
  const groups = new Map<number, Shell[]>();
  shells.forEach((shell, n) => {
    const members = groups.get(root(n)) ?? [];
    groups.set(root(n), [...members, shell]);
  });
  return [...groups.values()];
}

function uniteGroup(scope: SolidScope, group: readonly Shell[]): Mesh | null {
  const bodies = group.filter((shell) => shell.volume > 0);
  if (bodies.length === 0) return null;
  const voidsOf = new Map<Shell, Mesh[]>();
  for (const hole of group.filter((shell) => shell.volume < 0)) {
    const host = smallestAround(bodies, hole);
    if (host)
      voidsOf.set(host, [
        ...(voidsOf.get(host) ?? []),
        { ...hole.mesh, triangles: turnedRound(hole.mesh.triangles) },
      ]);
  }
  const solids = bodies.map((body) => {
    const solid = scope.solidOf(body.mesh);
    const holes = voidsOf.get(body);
    if (!holes) return solid;
    const taken = scope.keep(scope.kernel.Manifold.union(holes.map((hole) => scope.solidOf(hole))));
    return scope.keep(solid.subtract(taken));
  });
  return scope.meshOf(scope.keep(scope.kernel.Manifold.union(solids)));
}

function smallestAround(bodies: readonly Shell[], hole: Shell): Shell | null {
  const [x, y, z] = hole.mesh.positions as unknown as [number, number, number];
  let best: Shell | null = null;
  for (const body of bodies) {
    if (best && best.volume <= body.volume) continue;
    if (boxesMeet(body, hole) && windingAt(body.mesh, x, y, z) > 0.5) best = body;
  }
  return best;
}

/** Winding number of a closed mesh at a point, by solid angles (Van Oosterom & Strackee 1983). */
function windingAt({ positions: p, triangles: t }: Mesh, x: number, y: number, z: number): number {
  let half = 0;
  for (let at = 0; at < t.length; at += 3) {
    const a = 3 * t[at]!;
    const b = 3 * t[at + 1]!;
    const c = 3 * t[at + 2]!;
    const ax = p[a]! - x;
    const ay = p[a + 1]! - y;
    const az = p[a + 2]! - z;
    const bx = p[b]! - x;
    const by = p[b + 1]! - y;
    const bz = p[b + 2]! - z;
    const cx = p[c]! - x;
    const cy = p[c + 1]! - y;
    const cz = p[c + 2]! - z;
    const la = Math.sqrt(ax * ax + ay * ay + az * az);
    const lb = Math.sqrt(bx * bx + by * by + bz * bz);
    const lc = Math.sqrt(cx * cx + cy * cy + cz * cz);
    const below =
      la * lb * lc +
      (ax * bx + ay * by + az * bz) * lc +
      (bx * cx + by * cy + bz * cz) * la +
      (cx * ax + cy * ay + cz * az) * lb;
    half += Math.atan2(determinant(p, a, b, c, x, y, z), below);
  }
  return half / (2 * Math.PI);
}

import { BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { describe, expect, it } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { massProperties } from '../../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { PackedSurface } from '../../../src/core/surface/packedSurface.ts';
import { unpackSurface } from '../../../src/core/surface/unpackSurface.ts';
import { figureMesh } from '../../../src/lamplighter/figureMesh.ts';
import { firstSurface } from '../../../src/pipeline/firstSurface.ts';
import { refineSurface } from '../../../src/pipeline/refineSurface.ts';
import { loadSharedMesh, sphere, torus, transformed } from '../../shapes.ts';
import { openChain } from '../../unit/surface/openChain.ts';

function treeOf({ positions, triangles }: Mesh): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(positions, 3));
  geometry.setIndex(new BufferAttribute(triangles.slice(), 1));
  return new MeshBVH(geometry, { indirect: true });
}

/** Greatest distance of points from the surface of a mesh. */
function furthest(points: Iterable<Vector3>, to: Mesh): number {
  const tree = treeOf(to);
  let greatest = 0;
  for (const point of points) greatest = Math.max(greatest, tree.closestPointToPoint(point)!.distance);
  return greatest;
}

/** Every third of them. */
function* verticesOf({ positions }: Mesh): Generator<Vector3> {
  for (let at = 0; at < positions.length; at += 9) yield new Vector3().fromArray(positions, at);
}

/** Of every third facet. */
function* centresOf({ positions, triangles }: Mesh): Generator<Vector3> {
  for (let facet = 0; facet < triangles.length; facet += 9) {
    const centre = new Vector3();
    for (let i = 0; i < 3; i++) {
      centre.addScaledVector(new Vector3().fromArray(positions, 3 * triangles[facet + i]!), 1 / 3);
    }
    yield centre;
  }
}

/** The area seen along an axis: how the silhouette fills, summed over front facets of a closed surface. */
function shadow({ positions: p, triangles: t }: Mesh, axis: number): number {
  const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
  let sum = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i]!, 3 * t[i + 1]!, 3 * t[i + 2]!];
    const doubled =
      (p[b + u]! - p[a + u]!) * (p[c + v]! - p[a + v]!) - (p[b + v]! - p[a + v]!) * (p[c + u]! - p[a + u]!);
    sum += Math.abs(doubled) / 4;
  }
  return sum;
}

const meshes: readonly (readonly [string, () => Mesh | null])[] = [
  ['sphere', () => sphere(40, 240)],
  ['torus, turned', () => transformed(torus(40, 12, 280, 150), { turn: [31, 17, 5] })],
  ['figure of 140 000 triangles', () => figureMesh(140_000)],
  ['human_cc0', () => loadSharedMesh('human_cc0')],
];

function expectLikeness(mesh: Mesh, drawn: Mesh, bound: number, shareOfArea: number): void {
  const whole = massProperties(mesh, uninterrupted);
  const light = massProperties(drawn, uninterrupted);
  // Moved by at most `bound`, a closed surface of area A changes its volume by at most about A · bound.
  expect(Math.abs(light.volume - whole.volume)).toBeLessThan(whole.area * bound);
  expect(Math.abs(light.area / whole.area - 1)).toBeLessThan(shareOfArea);
  for (const axis of [0, 1, 2]) {
    expect(Math.abs(shadow(drawn, axis) / shadow(mesh, axis) - 1), `axis ${axis}`).toBeLessThan(shareOfArea);
    expect(Math.abs(light.bounds.min[axis]! - whole.bounds.min[axis]!)).toBeLessThan(bound);
    expect(Math.abs(light.bounds.max[axis]! - whole.bounds.max[axis]!)).toBeLessThan(bound);
  }
}

describe.each(meshes)('%s', (_name, load) => {
  const mesh = load();

  it('is refined into closed levels near the whole, each finer than the one before', async () => {
    if (mesh === null) return;
    const levels = await refineSurface(mesh, 1);
    const counts = levels.map(({ triangleCount }) => triangleCount);
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
    expect(levels.length).toBeGreaterThan(1);
    expect(counts.at(-1)).toBe(Math.min(600_000, mesh.triangles.length / 3));
    for (const level of levels) expectLevel(mesh, level);
    const errors = levels.map(({ errorMm }) => errorMm);
    expect(errors).toEqual([...errors].sort((a, b) => b - a));
    expect(errors.at(-1)).toBe(0);
  });

  function expectLevel(whole: Mesh, level: PackedSurface): void {
    const drawn = unpackSurface(level);
    expect(openChain(drawn)).toBe(0);
    const rounding = (level.step * Math.sqrt(3)) / 2 + 1e-5;
    // Here and there a share was measured, not the same one: the furthest of all may lie a little beyond.
    const away = Math.max(furthest(verticesOf(whole), drawn), furthest(centresOf(whole), drawn));
    expect(away).toBeGreaterThan(0.5 * level.errorMm - rounding);
    expect(away).toBeLessThan(1.5 * level.errorMm + rounding);
    // The other way round: the middle of a facet that bridges a hollow may lie further off.
    expect(furthest(centresOf(drawn), whole)).toBeLessThan(2 * level.errorMm + rounding);
    expectLikeness(whole, drawn, 2 * level.errorMm + rounding, 0.01);
  }

  it('has a first picture that is closed and within the bound it tells', () => {
    if (mesh === null) return;
    const levels = firstSurface(mesh, 1, uninterrupted);
    expect(levels.length).toBeGreaterThan(0);
    for (const level of levels) {
      const drawn = unpackSurface(level);
      expect(openChain(drawn)).toBe(0);
      const bound = level.errorMm + (level.step * Math.sqrt(3)) / 2 + 1e-5;
      expect(furthest(verticesOf(whole()), drawn)).toBeLessThan(bound);
      expectLikeness(whole(), drawn, bound, 0.08);
    }
  });

  const whole = (): Mesh => mesh!;
});

it('refines the same mesh to the same bytes', async () => {
  const mesh = torus(40, 12, 300, 150);
  const [first, second] = [await refineSurface(mesh, 2), await refineSurface(mesh, 2)];
  expect(second).toEqual(first);
});

it('leaves out vertices that nothing uses, and a mesh without facets', async () => {
  const ball = sphere(10, 40);
  const spare = new Float32Array(ball.positions.length + 300);
  spare.set(ball.positions);
  const [level] = await refineSurface({ positions: spare, triangles: ball.triangles }, 1);
  expect(level!.vertexCount).toBe(ball.positions.length / 3);
  expect(await refineSurface({ positions: spare, triangles: new Uint32Array(0) }, 1)).toEqual([]);
  expect(firstSurface({ positions: spare, triangles: new Uint32Array(0) }, 1, uninterrupted)).toEqual([]);
});

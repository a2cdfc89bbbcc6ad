import type { Mesh } from '../mesh/mesh.ts';
import { basisAcross } from '../openings/basisAcross.ts';
import { borePolygon, ringTriangles } from '../openings/boreRings.ts';
import { add, dot, norm, scale, subtract, type Vec3 } from '../vector.ts';

/**
 * The closed, outward body of a tube along a chain: a polygon of the round tube's area pushed from mitre to mitre, so
 * that its section is the same all the way and its volume is that times the chain's length. The chain must bend more
 * widely than the tube is wide. Frame of the points, mm.
 */
export function sweptTube(points: readonly Vec3[], radius: number): Mesh {
  const { sides, turn, cornerRadius } = borePolygon(radius);
  const axes = points.slice(1).map((point, n) => unit(subtract(point, points[n]!)));
  const [u, v] = basisAcross(axes[0]!);
  let ring = Array.from({ length: sides }, (_, n) => {
    const across = add(
      scale(u, cornerRadius * Math.cos(n * turn)),
      scale(v, cornerRadius * Math.sin(n * turn)),
    );
    return add(points[0]!, across);
  });
  const positions = new Float32Array(3 * sides * points.length);
  const put = (at: number): void => {
    for (const [n, corner] of ring.entries()) positions.set(corner, 3 * (at * sides + n));
  };
  put(0);
  for (let at = 1; at < points.length; at++) {
    const axis = axes[at - 1]!;
    const mitre = at < axes.length ? unit(add(axis, axes[at]!)) : axis;
    ring = ring.map((corner) =>
      add(corner, scale(axis, dot(subtract(points[at]!, corner), mitre) / dot(axis, mitre))),
    );
    put(at);
  }
  return { positions, triangles: ringTriangles(sides, points.length) };
}

/** Whether no mitre of the tube runs into the next one: the inside of each bend has a way to go. */
export function isSweepable(points: readonly Vec3[], radius: number): boolean {
  const { cornerRadius } = borePolygon(radius);
  const ways = points.slice(1).map((point, n) => subtract(point, points[n]!));
  const taken = (a: Vec3, b: Vec3): number => {
    const cosine = dot(unit(a), unit(b));
    return cosine <= -1 ? Infinity : cornerRadius * Math.sqrt((1 - Math.min(1, cosine)) / (1 + cosine));
  };
  return ways.every((way, n) => {
    const before = n === 0 ? 0 : taken(ways[n - 1]!, way);
    const after = n + 1 === ways.length ? 0 : taken(way, ways[n + 1]!);
    return norm(way) > before + after;
  });
}

const unit = (way: Vec3): Vec3 => scale(way, 1 / norm(way));

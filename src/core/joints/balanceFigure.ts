import type { Weight } from '../filling/balance.ts';
import { footprintHull } from '../pose/footprintHull.ts';
import { add, dot, scale, type Vec3 } from '../vector.ts';
import { across, type Footing, STANDS_MM } from './footing.ts';

/** A part in its place in the figure: source axes at finished size, mm. */
export interface FigurePart {
  readonly name: string;
  readonly weight: Weight;
  readonly footing: Footing;
}

/** The figure put together. Source axes at finished size, mm. */
export interface FigureBalance {
  readonly up: Vec3;
  readonly massG: number;
  /** Centre of mass, and how high it lies above what the figure stands on. */
  readonly at: Vec3;
  readonly heightMm: number;
  /** The parts that touch the ground, the lowest first, and the area of the hull round what touches. */
  readonly standsOn: readonly string[];
  readonly footingMm2: number;
  /** How far what it stands on may be tilted before it falls, degrees; negative when it falls as it is. */
  readonly tipDeg: number;
  /** Over which side it falls: level, of length one. */
  readonly tipsToward: Vec3;
  /** The nearest point of the edge over which it falls. */
  readonly tipsAt: Vec3;
}

/**
 * Weighs a figure against its footing: it falls when the plumb line from its centre of mass leaves the hull of what
 * touches the ground, so over the edge for which atan(distance / height) is least. Null without any weight or part.
 */
export function balanceFigure(parts: readonly FigurePart[], up: Vec3): FigureBalance | null {
  const massG = parts.reduce((sum, { weight }) => sum + weight.massG, 0);
  if (!(massG > 0)) return null;
  const [side, other, height] = across(up);
  const at = [0, 1, 2].map(
    (axis) => parts.reduce((sum, { weight }) => sum + weight.massG * weight.at[axis]!, 0) / massG,
  ) as unknown as Vec3;
  const ground = Math.min(...parts.map(({ footing }) => footing.lowMm));
  const standing = parts
    .filter(({ footing }) => footing.lowMm <= ground + STANDS_MM)
    .sort((a, b) => a.footing.lowMm - b.footing.lowMm);
  const points = standing.flatMap(({ footing }) => footing.corners.flatMap(([x, y]) => [x, y, 0]));
  const hull = footprintHull(Float64Array.from(points));
  const heightMm = dot(at, height) - ground;
  const centre: Corner = [dot(at, side), dot(at, other)];
  const edge = nearestEdge(hull, centre);
  const level = ([x, y]: Corner): Vec3 => add(scale(side, x), scale(other, y));
  return {
    up: height,
    massG,
    at,
    heightMm,
    standsOn: standing.map(({ name }) => name),
    footingMm2: hullArea(hull),
    tipDeg: (Math.atan2(edge.insideMm, heightMm) * 180) / Math.PI,
    tipsToward: level(edge.outward),
    tipsAt: add(level(edge.at), scale(height, ground)),
  };
}

type Corner = readonly [number, number];

interface Edge {
  /** Distance of the centre from the edge's line, positive inside. */
  readonly insideMm: number;
  readonly outward: Corner;
  readonly at: Corner;
}

/** Of a hull that runs counter-clockwise: the edge that the centre is least inside of. A line or a point holds nothing up. */
function nearestEdge(hull: readonly Corner[], centre: Corner): Edge {
  const edges = hull.flatMap((from, n): Edge[] => {
    const to = hull[(n + 1) % hull.length]!;
    const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
    const length = Math.hypot(dx, dy);
    if (!(length > 0)) return [];
    const outward: Corner = [dy / length, -dx / length];
    const [px, py] = [centre[0] - from[0], centre[1] - from[1]];
    const insideMm = -(px * outward[0] + py * outward[1]);
    const along = Math.min(1, Math.max(0, (px * dx + py * dy) / (length * length)));
    return [{ insideMm, outward, at: [from[0] + along * dx, from[1] + along * dy] }];
  });
  const nearest = edges.reduce<Edge | null>(
    (best, edge) => (best === null || edge.insideMm < best.insideMm ? edge : best),
    null,
  );
  if (nearest !== null) return nearest;
  const at = hull[0]!;
  const [px, py] = [centre[0] - at[0], centre[1] - at[1]];
  const away = Math.hypot(px, py);
  return { insideMm: -away, outward: away > 0 ? [px / away, py / away] : [1, 0], at };
}

function hullArea(hull: readonly Corner[]): number {
  return (
    hull.reduce((sum, [x, y], n) => {
      const [nx, ny] = hull[(n + 1) % hull.length]!;
      return sum + x * ny - nx * y;
    }, 0) / 2
  );
}

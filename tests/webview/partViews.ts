import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { packSurface } from '../../src/core/surface/packSurface.ts';
import { vertexNormals } from '../../src/core/surface/vertexNormals.ts';
import type { Vec3 } from '../../src/core/vector.ts';
import {
  type Flag,
  type OpeningView,
  type PartScene,
  type PartView,
  type Strata,
  surfaceKeys,
} from '../../src/protocol/partView.ts';
import { cutIntoPieces, type SurfacePiece } from '../../src/protocol/surfacePiece.ts';
import { sphere, transformed } from '../shapes.ts';

/** A hollow ball on the plate side: outer radius 30, wall 2, its lowest point 5 mm above the plate. */
export const ball = { radius: 30, inner: 28, centre: [0, 0, 35] as Vec3, layerHeight: 0.05 };

/** A vent of 10 mm through the ball's wall at its equator, on the +x side, straight inward. */
export const equatorVent: OpeningView = {
  id: 'vents/0',
  kind: 'vent',
  mouth: [30, 0, 35],
  axis: [-1, 0, 0],
  radius: 5,
  depth: 5,
  outward: 0.6,
  boreMm: 2,
};

const surfaces = new Map<string, readonly SurfacePiece[]>();

/** Makes a surface known by a key, as if it had been refined; levels, coarsest first, exact but for the rounding to steps. */
export function surfaceOf(key: string, ...meshes: readonly Mesh[]): string {
  const levels = meshes.map((mesh) => packSurface(mesh, vertexNormals(mesh), 0, 1));
  const fullTriangles = levels.at(-1)!.triangleCount;
  surfaces.set(key, cutIntoPieces({ key, refined: true, fullTriangles, levels }));
  return key;
}

/** What a page needs to draw a view of such surfaces. */
export function piecesOf(scene: PartScene): readonly SurfacePiece[] {
  return surfaceKeys(scene).flatMap(surfacePieces);
}

/** The pieces of one surface; none of one that was never made known. */
export function surfacePieces(key: string | null): readonly SurfacePiece[] {
  return key === null ? [] : (surfaces.get(key) ?? []);
}

/** The surfaces stand where they are printed. */
export const inPlace: PartScene['toPrint'] = { linear: [1, 0, 0, 0, 1, 0, 0, 0, 1], shift: [0, 0, 0] };

export function ballView(openings: readonly OpeningView[] = [equatorVent]): PartView {
  const at = (radius: number): Mesh => transformed(sphere(radius, 96), { shift: ball.centre });
  return {
    part: 'lantern',
    machine: { plate: [192, 120], height: 200, margin: 2 },
    toPrint: inPlace,
    outer: surfaceOf('ball outside', at(ball.radius)),
    cavity: surfaceOf('ball hollow', at(ball.inner)),
    openings,
    flags: ballFlags,
    show: [],
    supports: new Float32Array(0),
    lights: new Float32Array(0),
    tips: [],
    strata: ballStrata(),
    figures: [
      { label: 'Resin', value: '21.1 ml' },
      { label: 'Print time', value: '3.4 hours' },
    ],
  };
}

const flag = (number: number, severity: Flag['severity'], layer: number | null, at: Vec3 | null): Flag => ({
  number,
  code: 'file-missing',
  severity,
  message: `Something of the ${severity} kind is said here, with 12 mm.`,
  layer,
  at,
  opening: null,
});

const ballFlags: readonly Flag[] = [
  flag(7, 'warning', 700, [30, 0, 35]),
  flag(3, 'error', 140, [0, 0, 7]),
  flag(12, 'info', 1299, [0, 0, 65]),
  flag(4, 'warning', null, null),
];

/** Areas of the ball's layers in closed form, sampled at each layer's middle. */
export function ballStrata(): Strata {
  const layers = Math.ceil((ball.centre[2] + ball.radius) / ball.layerHeight - 1e-6);
  const areaMm2 = new Float32Array(layers);
  const cupAreaMm2 = new Float32Array(layers);
  const pullN = new Float32Array(layers);
  for (let layer = 0; layer < layers; layer++) {
    const z = (layer + 0.5) * ball.layerHeight - ball.centre[2];
    const disc = (radius: number): number => Math.PI * Math.max(0, radius ** 2 - z ** 2);
    areaMm2[layer] = disc(ball.radius) - disc(ball.inner);
    cupAreaMm2[layer] = z < 0 ? disc(ball.inner) : 0;
    pullN[layer] = 0.03 * areaMm2[layer]! + 0.1013 * cupAreaMm2[layer]!;
  }
  return {
    layerHeight: ball.layerHeight,
    layers,
    areaMm2,
    cupAreaMm2,
    pullN,
    pullLimitN: 200,
    islands: [
      { layer: 100, areaMm2: 0.9, inside: false },
      { layer: 640, areaMm2: 0.4, inside: true },
    ],
    cups: [
      {
        fromLayer: 140,
        toLayer: 1259,
        joinsLayer: 600,
        breathesLayer: 640,
        sealedLayers: 460,
        peakPullN: 249,
        breather: 'vents/0',
      },
    ],
    vatLowLayer: 1100,
  };
}

/** Area of the ring −h ≤ y ≤ h, x ≥ 0 between two circles: what a bore of radius h takes from the section. */
export function ringGapArea(outer: number, inner: number, h: number): number {
  const strip = (radius: number): number =>
    h * Math.sqrt(radius ** 2 - h ** 2) + radius ** 2 * Math.asin(h / radius);
  return strip(outer) - strip(inner);
}

import { readFileSync } from 'node:fs';
import loadManifold from 'manifold-3d';
import { affineOf, transformMesh } from '../../src/core/affine.ts';
import { buildFacetTree } from '../../src/core/field/facetTree.ts';
import type { FieldKernel } from '../../src/core/field/fieldKernel.ts';
import { hollow } from '../../src/core/field/hollow.ts';
import { uninterrupted } from '../../src/core/interrupter.ts';
import { measureJoint } from '../../src/core/joints/measureJoint.ts';
import type { LayerInput } from '../../src/core/layers/castLayers.ts';
import { cutAreas } from '../../src/core/layers/cutSolid.ts';
import { joinLayerSlices } from '../../src/core/layers/joinLayerSlices.ts';
import { linkOpenings } from '../../src/core/layers/linkOpenings.ts';
import { measureLayerRange } from '../../src/core/layers/measureLayerRange.ts';
import { sweepCups } from '../../src/core/layers/sweepCups.ts';
import { trappedLiquid } from '../../src/core/layers/trappedLiquid.ts';
import { boundsOf } from '../../src/core/mesh/boundsOf.ts';
import { classifyShells } from '../../src/core/mesh/classifyShells.ts';
import { labelShells } from '../../src/core/mesh/labelShells.ts';
import { massProperties } from '../../src/core/mesh/massProperties.ts';
import type { Mesh } from '../../src/core/mesh/mesh.ts';
import { poseMesh } from '../../src/core/mesh/pose.ts';
import { readMesh } from '../../src/core/mesh/readMesh.ts';
import { repairMesh } from '../../src/core/mesh/repairMesh.ts';
import { reportTopology } from '../../src/core/mesh/topology.ts';
import { closestOnSurface } from '../../src/core/openings/closestOnSurface.ts';
import { cutterMesh } from '../../src/core/openings/cutterMesh.ts';
import { placeOpening } from '../../src/core/openings/placeOpening.ts';
import { buildSurfaceIndex } from '../../src/core/openings/surfaceIndex.ts';
import { buildRayGrid } from '../../src/core/rays/buildRayGrid.ts';
import { latticeFor } from '../../src/core/rays/latticeFor.ts';
import type { Result } from '../../src/core/result.ts';
import type { Vec3 } from '../../src/core/vector.ts';
import { wasmFieldKernel } from '../../src/pipeline/wasmFieldKernel.ts';
import { makeReady } from '../../src/solid/makeReady.ts';
import { plannedAtOnce } from '../plannedAtOnce.ts';
import { askedPoints } from './askedPoints.ts';
import { Stopwatch, type Timed } from './timing.ts';

const WALL_MM = 1.5;
const ROW_MM = 0.1;
/** As the build left it; the bench is run from the project's folder. */
const fieldKernel = (): FieldKernel =>
  wasmFieldKernel(new WebAssembly.Module(readFileSync('dist/fieldKernel.wasm')));
const hollowOptions = { wallMm: WALL_MM, leastChamberMm3: 500, maxNodes: 60e6 };
const LAYER_OPTIONS = { selfSupportDeg: 19, ceilingMm2: 100, ceilingSpanMm: 5 };
const pose = { factor: 1, turn: [0, 0, 0], raise: 0, mirrored: false } as const;

/** Every stage of the engine on one figure, each once and on one thread, as a worker that starts cold runs them. */
export async function engineStages(stl: Uint8Array, layerMm: number): Promise<Timed[]> {
  const kernel = fieldKernel();
  const watch = new Stopwatch();
  const welded = watch.run(
    'read + weld',
    () => worked(readMesh(stl, { maxTriangles: 1e8 }, uninterrupted)).mesh,
  );
  const topology = watch.run('topology report', () => reportTopology(welded, uninterrupted));
  const whole = watch.run('mend, shells', () => {
    const { mesh } = repairMesh(welded, uninterrupted, topology.signedVolume);
    classifyShells(mesh, labelShells(mesh), uninterrupted);
    return mesh;
  });
  const posed = watch.run('pose, mass', () => {
    const { mesh, toPrint } = poseMesh(whole, pose);
    return { mesh, frame: affineOf(toPrint), bounds: massProperties(mesh, uninterrupted).bounds };
  });
  const cavity = watch.run(`hollow at ${WALL_MM} mm`, () =>
    worked(hollow(whole, hollowOptions, uninterrupted, kernel)),
  );
  const cavityMesh = transformMesh(cavity.mesh, posed.frame);
  const lattice = latticeFor(posed.bounds, ROW_MM, layerMm);
  watch.run('ray grid of the skin', () => buildRayGrid(posed.mesh, lattice, uninterrupted));
  const input = {
    lattice,
    skin: posed.mesh,
    cavity: { mesh: cavityMesh, facetChamber: cavity.facetChamber },
  };
  const layers = watch.run('rays, layers, voids', () => layersOf(input));
  watch.run('cups, trapped liquid', () => cupsOf(layers.graph, []));
  watch.run('support plan', () => plannedFor(layers));
  const outer = watch.run('surface index', () => buildSurfaceIndex(posed.mesh));
  watch.run('100 000 closest points', () => {
    for (const point of askedPoints(posed.mesh)) closestOnSurface(outer, point);
  });
  const beside = { ...pose, turn: [0, 0, 90] } as const;
  const bodies = watch.run('two parts made ready for joints', () =>
    [posed.mesh, poseMesh(whole, beside).mesh].map((mesh) => ({
      mesh,
      tree: buildFacetTree(mesh),
      bounds: boundsOf(mesh.positions),
    })),
  );
  watch.run('joint of two parts', () => measureJoint(bodies[0]!, bodies[1]!, 1, uninterrupted));
  const surfaces = {
    outer,
    cavity: buildSurfaceIndex(cavityMesh),
    facetChamber: cavity.facetChamber,
    wallMm: WALL_MM,
    toPrint: (point: Vec3) => point,
    directionToPrint: (way: Vec3) => way,
  };
  const at = cornerMostForward(posed.mesh);
  const placed = watch.run('openings edit', () => {
    const decision = { id: 'vents/0', kind: 'vent', at, diameter: 6 } as const;
    const { placed } = placeOpening(decision, surfaces);
    if (placed === null) throw new Error('the opening found no place');
    cutAreas([placed], layers.solid);
    cupsOf(layers.graph, linkOpenings([placed], layers.labels));
    return placed;
  });
  const manifold = await loadManifold();
  manifold.setup();
  const cutters = [placed].map(cutterMesh);
  watch.run('make ready, one vent', () =>
    worked(makeReady(manifold, posed.mesh, cavityMesh, cutters, uninterrupted)),
  );
  return watch.timed;
}

/** The layered stages of one figure, solid, at several layer heights. */
export function layerHeightStages(stl: Uint8Array, layersMm: readonly number[]): Timed[] {
  const { mesh } = poseMesh(worked(readMesh(stl, { maxTriangles: 1e8 }, uninterrupted)).mesh, pose);
  const { bounds } = massProperties(mesh, uninterrupted);
  const watch = new Stopwatch();
  for (const layerMm of layersMm) {
    const lattice = latticeFor(bounds, ROW_MM, layerMm);
    const { graph } = watch.run(`rays, layers, voids|${lattice.layers}`, () =>
      layersOf({ lattice, skin: mesh, cavity: null }),
    );
    watch.run(`cups, trapped liquid|${lattice.layers}`, () => cupsOf(graph, []));
  }
  return watch.timed;
}

/** The cavity of a figure, for references that are to take it out. */
export function cavityOf(stl: Uint8Array): { readonly outer: Mesh; readonly cavity: Mesh } {
  const outer = worked(readMesh(stl, { maxTriangles: 1e8 }, uninterrupted)).mesh;
  return { outer, cavity: worked(hollow(outer, hollowOptions, uninterrupted, fieldKernel())).mesh };
}

/** With the defaults of the manifest, on a plate that is large enough. */
const plannedFor = ({ solid, labels, figures }: ReturnType<typeof layersOf>) =>
  plannedAtOnce(
    { solid, xLow: labels.xLow, xHigh: labels.xHigh },
    {
      suctionN: new Float64Array(figures.layers),
      setting: {
        tipMm: 0.4,
        widestTipMm: 1.2,
        spacingMm: 4,
        strutMm: 1,
        selfSupportDeg: 30,
        leastMm2: 0.1,
        peel: 10,
        plateHold: 100,
        greenStrength: 15,
        greenModulus: 800,
        safety: 1,
        density: 1.18,
      },
      isShown: () => false,
      byHand: [],
      isKeptFree: () => false,
      halfPlate: [500, 500],
      raftMm: 1.2,
    },
    4.2,
    uninterrupted,
  );

const layersOf = (input: LayerInput) => {
  const slice = measureLayerRange(input, 0, input.lattice.layers, LAYER_OPTIONS, uninterrupted);
  return joinLayerSlices(input.lattice, [slice], LAYER_OPTIONS);
};

const cupsOf = (...[graph, links]: Parameters<typeof sweepCups>): void => {
  sweepCups(graph, links);
  trappedLiquid(graph, links);
};

/** A place on the breast of the figure, half way up: the corner furthest forward at that height. */
function cornerMostForward({ positions }: Mesh): Vec3 {
  let best = -1;
  for (let i = 0; i < positions.length; i += 3) {
    if (Math.abs(positions[i + 2]! - 70) > 5) continue;
    if (best < 0 || positions[i + 1]! < positions[best + 1]!) best = i;
  }
  return [positions[best]!, positions[best + 1]!, positions[best + 2]!];
}

function worked<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

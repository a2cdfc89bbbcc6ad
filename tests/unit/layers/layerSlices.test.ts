import { describe, expect, test } from 'vitest';
import { CancelledError, uninterrupted } from '../../../src/core/interrupter.ts';
import { buildVoidGraph } from '../../../src/core/layers/buildVoidGraph.ts';
import type { LayerInput } from '../../../src/core/layers/castLayers.ts';
import { cutLayers } from '../../../src/core/layers/cutLayers.ts';
import { joinLayerSlices, type MeasuredLayers } from '../../../src/core/layers/joinLayerSlices.ts';
import type { LayerOptions } from '../../../src/core/layers/layerOptions.ts';
import { type LayerSlice, sliceBuffers } from '../../../src/core/layers/layerSlice.ts';
import { measureLayerRange } from '../../../src/core/layers/measureLayerRange.ts';
import { measureLayers } from '../../../src/core/layers/measureLayers.ts';
import type { VoidGraph } from '../../../src/core/layers/voidGraph.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { labelledRuns } from '../../../src/core/rays/labelledRuns.ts';
import { latticeFor } from '../../../src/core/rays/latticeFor.ts';
import { runsVolume } from '../../../src/core/rays/runsVolume.ts';
import { solidRuns } from '../../../src/core/rays/solidRuns.ts';
import { subtractRuns } from '../../../src/core/rays/subtractRuns.ts';
import { buildVoidGraphByPasses } from '../../oracles/buildVoidGraphByPasses.ts';
import { castTwice } from '../../oracles/castTwice.ts';
import { measureLayersByPasses } from '../../oracles/measureLayersByPasses.ts';
import { box, cup, icosphere, join, random, reversed, torus, transformed } from '../../shapes.ts';
import { boundsOf } from './printing.ts';
import { runsInOne, voidRegions } from './voidRegions.ts';
import { randomBlobs, voxelRuns } from './voxels.ts';

const OPTIONS: LayerOptions = { selfSupportDeg: 30, ceilingMm2: 0.6, ceilingSpanMm: 0.5 };

type Random = () => number;

/** Bodies of many kinds thrown together, some inside out, turned and set down at random. */
function randomBodies(next: Random): Mesh {
  const turn = () => [next() * 360, next() * 360, next() * 360] as const;
  const bodies = Array.from({ length: 2 + Math.floor(next() * 6) }, () => {
    const size = 1 + next() * 4;
    const kind = Math.floor(next() * 5);
    const body =
      kind === 0
        ? icosphere(size, 2)
        : kind === 1
          ? box([size, size * (0.3 + next()), 2 * size])
          : kind === 2
            ? torus(size, size / 3, 24, 12)
            : kind === 3
              ? cup(size, size * 0.8, size, size * 0.2, 24)
              : reversed(icosphere(size * 0.6, 2));
    const shift = [(next() - 0.5) * 9, (next() - 0.5) * 9, (next() - 0.5) * 9] as const;
    return transformed(transformed(body, { turn: turn() }), { shift });
  });
  const mesh = join(...bodies);
  const step = [0, 0.025, 0.1][Math.floor(next() * 3)]!;
  const snapped = step > 0 ? mesh.positions.map((v) => Math.round(v / step) * step) : mesh.positions;
  const raised = { positions: snapped, triangles: mesh.triangles };
  return transformed(raised, { shift: [0, 0, next() - boundsOf(raised).min[2]] });
}

/** Chambers that overlap, touch and reach out of the skin as no true hollow's do. */
function randomInput(seed: number): LayerInput {
  const next = random(seed);
  const skin = randomBodies(next);
  const lattice = latticeFor(boundsOf(skin), 0.1 + 0.2 * next(), 0.05 + 0.1 * next());
  if (next() < 0.2) return { lattice, skin, cavity: null };
  const { min, max } = boundsOf(skin);
  const chambers = Array.from({ length: 1 + Math.floor(next() * 4) }, () => {
    const body = next() < 0.5 ? icosphere(0.5 + next() * 2, 2) : box(0.5 + next() * 3);
    const shift = [0, 1, 2].map((i) => min[i]! + next() * (max[i]! - min[i]!));
    return transformed(body, { shift: [shift[0]!, shift[1]!, shift[2]!] });
  });
  const mesh = join(...chambers);
  const facetChamber = new Uint32Array(
    chambers.flatMap(({ triangles }, chamber) => new Array<number>(triangles.length / 3).fill(chamber)),
  );
  return { lattice, skin, cavity: { mesh, facetChamber } };
}

function measured(input: LayerInput, cuts: readonly number[], options = OPTIONS): MeasuredLayers {
  const slices = cuts.slice(1).map((to, i) => measureLayerRange(input, cuts[i]!, to, options, uninterrupted));
  return joinLayerSlices(input.lattice, slices, options);
}

/** Everything of a part in plain arrays and numbers. */
function plain({ skinMm3, chambersMm3, solid, figures, graph, labels }: MeasuredLayers) {
  const { offsets, ends } = runsInOne(solid);
  return { skinMm3, chambersMm3, offsets, ends, figures, graph, region: voidRegions(labels).region };
}

/** The same by the slower twins, each thing in a pass of its own. */
function byPasses({ lattice, skin, cavity }: LayerInput, { labels }: MeasuredLayers) {
  const whole = solidRuns(castTwice(skin, lattice, uninterrupted));
  const chambers =
    cavity &&
    labelledRuns(castTwice(cavity.mesh, lattice, uninterrupted, { facets: true }), cavity.facetChamber);
  const { offsets, ends, ...solid } = chambers ? subtractRuns(whole, chambers) : whole;
  const runs = { ...solid, offsets, ends };
  return {
    skinMm3: runsVolume(whole),
    chambersMm3: chambers ? runsVolume(chambers) : 0,
    offsets,
    ends,
    figures: measureLayersByPasses(runs, chambers, OPTIONS, uninterrupted),
    ...buildVoidGraphByPasses(runs, chambers, uninterrupted, labels),
  };
}

describe('layers swept once', () => {
  test('are to the bit what a pass for each thing gives, bodies and chambers thrown together', () => {
    let islands = 0;
    let ceilings = 0;
    let cups = 0;
    for (let seed = 1; seed <= 50; seed++) {
      const input = randomInput(seed);
      const layers = measured(input, [0, input.lattice.layers]);
      expect(plain(layers), `seed ${seed}`).toEqual(byPasses(input, layers));
      islands += layers.figures.islands.length;
      ceilings += layers.figures.ceilings.length;
      cups += layers.graph.enclosed.reduce((sum, one) => sum + one, 0);
    }
    expect(Math.min(islands, ceilings, cups)).toBeGreaterThan(20);
  });

  test('from runs: solids drawn cell by cell', () => {
    for (let seed = 1; seed <= 120; seed++) {
      const solid = voxelRuns(randomBlobs(seed, 22, 20, 18, seed % 2 === 0));
      const limits = { selfSupportDeg: seed % 3 === 0 ? 0 : 45, ceilingMm2: 6, ceilingSpanMm: 2 };
      const figures = measureLayersByPasses(solid, null, limits, uninterrupted);
      expect(measureLayers(solid, null, limits, uninterrupted), `seed ${seed}`).toEqual(figures);
      const { graph, labels } = buildVoidGraph(solid, null, uninterrupted);
      const twin = buildVoidGraphByPasses(solid, null, uninterrupted);
      expect(graph, `seed ${seed}`).toEqual(twin.graph);
      expect(voidRegions(labels).region, `seed ${seed}`).toEqual(twin.region);
    }
  });

  test('from runs: chambers of their own', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const whole = voxelRuns(randomBlobs(seed));
      const taken = voxelRuns(randomBlobs(seed + 1000));
      const next = random(seed);
      const chambers = {
        ...taken,
        label: Uint32Array.from(taken.ends.subarray(0, taken.ends.length >> 1), () => next() * 3),
      };
      const solid = subtractRuns(whole, chambers);
      const graph: VoidGraph = buildVoidGraph(solid, chambers, uninterrupted).graph;
      expect(graph, `seed ${seed}`).toEqual(buildVoidGraphByPasses(solid, chambers, uninterrupted).graph);
      expect(measureLayers(solid, chambers, OPTIONS, uninterrupted), `seed ${seed}`).toEqual(
        measureLayersByPasses(solid, chambers, OPTIONS, uninterrupted),
      );
    }
  });
});

describe('what lies below an island', () => {
  test('is looked up at the very point: by a thin wall, inside it and outside', () => {
    const shell = [box(10), reversed(box(9.4))];
    const specks = [-4.3, 5.6].map((x) => transformed(box(0.4), { shift: [x, 0.03, 1] }));
    const skin = transformed(join(...shell, ...specks), { shift: [0, 0, 5] });
    const input = { lattice: latticeFor(boundsOf(skin), 0.1, 0.05), skin, cavity: null };
    const layers = measured(input, [0, input.lattice.layers]);
    expect(layers.figures.islands.map(({ at, inside }) => [Math.round(at[0] * 10) / 10, inside])).toEqual([
      [-4.3, true],
      [5.6, false],
    ]);
    expect(plain(layers)).toEqual(byPasses(input, layers));
  });
});

describe('slices of layers', () => {
  test('join to the bits of the whole wherever they are cut', () => {
    for (let seed = 1; seed <= 30; seed++) {
      const input = randomInput(seed);
      const { layers } = input.lattice;
      const whole = plain(measured(input, [0, layers]));
      const next = random(seed);
      const inner = Array.from({ length: 1 + Math.floor(next() * 5) }, () =>
        Math.floor(next() * (layers + 1)),
      );
      const cuts = [0, ...inner.sort((a, b) => a - b), layers];
      expect(plain(measured(input, cuts)), `seed ${seed}, cuts ${cuts}`).toEqual(whole);
    }
  });

  test('at every layer of a part, and each layer on its own', () => {
    const input = randomInput(7);
    const { layers } = input.lattice;
    const whole = plain(measured(input, [0, layers]));
    for (let cut = 0; cut <= layers; cut++) {
      expect(plain(measured(input, [0, cut, layers])), `cut ${cut}`).toEqual(whole);
    }
    const all = Array.from({ length: layers + 1 }, (_, layer) => layer);
    expect(plain(measured(input, all))).toEqual(whole);
  });

  test('are made from shared memory as well, and cross threads by transfer', () => {
    const input = randomInput(3);
    const { layers } = input.lattice;
    const whole = plain(measured(input, [0, layers]));
    const shared = <T extends Float32Array | Uint32Array>(values: T): T => {
      const Column = values.constructor as new (buffer: SharedArrayBuffer) => T;
      const copy = new Column(new SharedArrayBuffer(values.byteLength));
      copy.set(values);
      return copy;
    };
    const sharedMesh = ({ positions, triangles }: Mesh): Mesh => ({
      positions: shared(positions),
      triangles: shared(triangles),
    });
    const { cavity } = input;
    const over: LayerInput = {
      lattice: input.lattice,
      skin: sharedMesh(input.skin),
      cavity: cavity && { mesh: sharedMesh(cavity.mesh), facetChamber: shared(cavity.facetChamber) },
    };
    const slices = [0, 11].map((from, i): LayerSlice => {
      const slice = measureLayerRange(over, from, [11, layers][i]!, OPTIONS, uninterrupted);
      const moved = structuredClone(slice, { transfer: sliceBuffers(slice) });
      expect(slice.rows.ends.byteLength).toBe(0);
      expect(slice.regions.area.byteLength).toBe(0);
      return moved;
    });
    expect(plain(joinLayerSlices(input.lattice, slices, OPTIONS))).toEqual(whole);
  });

  test('of a raised part begin with layers of void alone; no layers are no part', () => {
    const skin = transformed(box(2), { shift: [0, 0, 4] });
    const lattice = latticeFor(boundsOf(skin), 0.1, 0.05);
    const { graph, figures } = measured({ lattice, skin, cavity: null }, [0, 30, 60, 61, lattice.layers]);
    expect([...graph.regionStart]).toEqual(Array.from({ length: 101 }, (_, layer) => layer));
    expect(figures.islands.map(({ layer }) => layer)).toEqual([60]);
    const flat = measured({ lattice: { ...lattice, layers: 0 }, skin, cavity: null }, [0, 0]);
    expect([flat.skinMm3, flat.figures.area.length, flat.graph.area.length]).toEqual([0, 0, 0]);
  });

  test('that leave a layer out are a defect', () => {
    const input = randomInput(5);
    const slice = (from: number, to: number) => measureLayerRange(input, from, to, OPTIONS, uninterrupted);
    const { layers } = input.lattice;
    expect(() => joinLayerSlices(input.lattice, [slice(0, 5), slice(6, layers)], OPTIONS)).toThrow(
      'do not meet',
    );
    expect(() => joinLayerSlices(input.lattice, [slice(0, 5)], OPTIONS)).toThrow('end at 5');
    expect(() => joinLayerSlices(input.lattice, [], OPTIONS)).toThrow('end at 0');
  });

  test('end when cancelled, while rays are cast and while layers are swept', () => {
    const skin = transformed(icosphere(20, 6), { shift: [0, 0, 20] });
    const lattice = latticeFor(boundsOf(skin), 0.1, 0.05);
    let calls = 0;
    const counting = () => void calls++;
    measureLayerRange({ lattice, skin, cavity: null }, 0, lattice.layers, OPTIONS, counting);
    expect(calls).toBeGreaterThan(6);
    for (const stopAt of [1, 2, calls >> 1, calls]) {
      let left = stopAt;
      const stopping = () => {
        if (--left === 0) throw new CancelledError();
      };
      expect(() =>
        measureLayerRange({ lattice, skin, cavity: null }, 0, lattice.layers, OPTIONS, stopping),
      ).toThrow(CancelledError);
    }
  });
});

describe('where layers are cut', () => {
  test('both halves have about the same crossings, however the part is built', () => {
    for (const [low, high] of [
      [10, 2],
      [2, 10],
      [6, 6],
    ] as const) {
      // A plain block below or above one bristling with plates: the cut moves to where the work is.
      const plates = (count: number, z: number) =>
        Array.from({ length: count }, (_, i) =>
          transformed(box([0.4, 12, 10]), { shift: [i - count / 2, 0, z] }),
        );
      const skin = join(...plates(low, 5), ...plates(high, 15.5));
      const lattice = latticeFor(boundsOf(skin), 0.1, 0.05);
      const [first, cut, last] = cutLayers({ lattice, skin, cavity: null }, 2);
      expect([first, last]).toEqual([0, lattice.layers]);
      const { offsets } = castTwice(skin, lattice, uninterrupted);
      const below = offsets[cut! * lattice.rows]! / offsets[offsets.length - 1]!;
      expect(Math.abs(below - 0.5)).toBeLessThan(0.1);
    }
  });

  test('cuts ascend from the first layer to the last for any number of parts', () => {
    const input = randomInput(9);
    for (let parts = 1; parts < 9; parts++) {
      const cuts = cutLayers(input, parts);
      expect(cuts.length).toBe(parts + 1);
      expect([cuts[0], cuts[parts]]).toEqual([0, input.lattice.layers]);
      expect(cuts).toEqual([...cuts].sort((a, b) => a - b));
    }
  });
});

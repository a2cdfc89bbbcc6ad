import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { buildVoidGraph } from '../../../src/core/layers/buildVoidGraph.ts';
import type { CupTrack } from '../../../src/core/layers/cupTrack.ts';
import { linkOpenings } from '../../../src/core/layers/linkOpenings.ts';
import type { OpeningLink } from '../../../src/core/layers/openingLinks.ts';
import { sweepCups } from '../../../src/core/layers/sweepCups.ts';
import { sumByChamber, trappedLiquid } from '../../../src/core/layers/trappedLiquid.ts';
import type { VoidGraph } from '../../../src/core/layers/voidGraph.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import type { PlacedOpening } from '../../../src/core/openings/opening.ts';
import { labelledRuns } from '../../../src/core/rays/labelledRuns.ts';
import { solidRuns } from '../../../src/core/rays/solidRuns.ts';
import { subtractRuns } from '../../../src/core/rays/subtractRuns.ts';
import {
  box,
  cup,
  hollowSphere,
  icosphere,
  join,
  reversed,
  sphere,
  transformed,
  tube,
} from '../../shapes.ts';
import { boundsOf, gridOf, openingAt, posed, solidOf } from './printing.ts';
import { voidRegions } from './voidRegions.ts';
import { cellAt, enclosedCells, randomBlobs, type Voxels, voxelRuns } from './voxels.ts';

function analysed(mesh: Mesh, openings: readonly PlacedOpening[] = []) {
  const solid = solidOf(mesh);
  const { graph, labels } = buildVoidGraph(solid, null, uninterrupted);
  const links = linkOpenings(openings, labels);
  return { graph, links, tracks: sweepCups(graph, links), trapped: trappedLiquid(graph, links) };
}

const sum = (values: Iterable<number>) => {
  let total = 0;
  for (const value of values) total += value;
  return total;
};
const joinsLayer = (track: CupTrack) => track.states.find((state) => state.joined)?.layer ?? null;

describe('cups of known area', () => {
  test('a beaker standing on the plate is one cup of its own area, sealed to the rim', () => {
    const { tracks } = analysed(cup(12, 10, 20, 2, 256));
    expect(tracks.length).toBe(1);
    const [beaker] = tracks;
    expect([beaker!.fromLayer, beaker!.toLayer]).toEqual([40, 399]);
    expect(beaker!.states.length).toBe(360);
    expect(beaker!.states.every((state) => !state.joined && state.openings.length === 0)).toBe(true);
    for (const state of beaker!.states) {
      expect(Math.abs(state.areaMm2 / (Math.PI * 100) - 1)).toBeLessThan(0.002);
      expect(state.floorLayer).toBe(40);
    }
    expect(Math.abs(beaker!.states[359]!.volumeMm3 / (Math.PI * 100 * 18) - 1)).toBeLessThan(0.002);
    expect(beaker!.chamber).toBe(null);
    expect(beaker!.at[2]).toBeCloseTo(2, 9);
    expect(Math.hypot(beaker!.at[0], beaker!.at[1])).toBeLessThan(0.05);
  });

  test('the same beaker upside down on the plate is sealed; raised, it is joined from the start', () => {
    const bell = transformed(cup(12, 10, 20, 2, 128), { turn: [180, 0, 0], shift: [0, 0, 20] });
    const standing = analysed(bell).tracks;
    expect(standing.length).toBe(1);
    expect(joinsLayer(standing[0]!)).toBe(null);
    expect([standing[0]!.fromLayer, standing[0]!.toLayer]).toEqual([0, 359]);
    const raised = analysed(transformed(bell, { shift: [0, 0, 3] })).tracks;
    expect(raised.length).toBe(1);
    expect(joinsLayer(raised[0]!)).toBe(60);
    expect(raised[0]!.states[0]!.sculptedMm2 / (Math.PI * 100)).toBeCloseTo(1, 2);
    expect(raised[0]!.states.every((state) => state.joined)).toBe(true);
  });

  test('the sculpt opens a beaker after its last layer where the print goes on above its rim', () => {
    const beaker = cup(12, 10, 20, 2, 128);
    expect(analysed(beaker).tracks[0]!.opensAfter).toBe(false);
    const post = transformed(box([2, 2, 30]), { shift: [11, 0, 15] });
    const [track] = analysed(join(beaker, post)).tracks;
    expect([track!.fromLayer, track!.toLayer, track!.opensAfter]).toEqual([40, 399, true]);
    expect(joinsLayer(track!)).toBe(null);
  });

  test('a pipe on the plate is sealed by it, raised it is not', () => {
    expect(joinsLayer(analysed(tube(8, 6, 10)).tracks[0]!)).toBe(null);
    expect(joinsLayer(analysed(transformed(tube(8, 6, 10), { shift: [0, 0, 2] })).tracks[0]!)).toBe(40);
  });

  test('a solid has no cup, and a slit narrower than 3 rows is left out', () => {
    expect(analysed(posed(box(10), [20, 30, 40], 2)).tracks).toEqual([]);
    const slit = (width: number) => join(box([12, 8, 8]), reversed(box([8, width, 4])));
    expect(analysed(posed(slit(0.15), [0, 0, 0], 0)).tracks).toEqual([]);
    expect(analysed(posed(slit(0.5), [0, 0, 0], 0)).tracks.length).toBe(1);
  });

  test.each([
    [0, 0, 0],
    [40, 25, 70],
  ] as const)(
    'a hollow sphere turned %d %d %d is sealed; a vent joins it at the layer of the closed form',
    (...turn) => {
      const shell = posed(hollowSphere(15, 1.5, 256), turn, 4);
      const sealed = analysed(shell).tracks;
      expect(sealed.length).toBe(1);
      expect(joinsLayer(sealed[0]!)).toBe(null);
      expect(sealed[0]!.fromLayer).toBe(Math.round(5.5 / 0.05));
      const peak = Math.max(...sealed[0]!.states.map((state) => state.areaMm2));
      expect(Math.abs(peak / (Math.PI * 13.5 ** 2) - 1)).toBeLessThan(0.002);
      expect(
        Math.abs(sealed[0]!.states.at(-1)!.volumeMm3 / ((4 / 3) * Math.PI * 13.5 ** 3) - 1),
      ).toBeLessThan(0.002);

      // A level vent of radius 2 at height z: its void first meets cavity and outside at its lowest
      // point, z − 2, where both surfaces are crossed by the cylinder.
      for (const height of [15, 19, 25]) {
        const dz = height - 19;
        const reach = Math.sqrt(15 ** 2 - dz ** 2);
        const vent = openingAt([reach, 0, height], [-1, 0, 0], 2, 4, 2);
        const { tracks, links } = analysed(shell, [vent]);
        const expected = Math.ceil((height - 2) / 0.05 - 0.5);
        expect(Math.abs(joinsLayer(tracks[0]!)! - expected), `height ${height}`).toBeLessThanOrEqual(1);
        expect(tracks[0]!.states.at(-1)!.openings).toEqual([0]);
        expect(links[0]!.firstLayer).toBe(expected);
      }
    },
  );

  test('a vent that stops short of the cavity, or opens no mouth, joins nothing', () => {
    const shell = posed(hollowSphere(15, 1.5, 128), [0, 0, 0], 4);
    const short = openingAt([15, 0, 19], [-1, 0, 0], 2, 0.9, 0.3);
    expect(joinsLayer(analysed(shell, [short]).tracks[0]!)).toBe(null);
    const blind = { ...openingAt([14.4, 0, 19], [-1, 0, 0], 0.5, 4, 0), outward: 0 };
    expect(joinsLayer(analysed(shell, [blind]).tracks[0]!)).toBe(null);
  });

  test('a U-shaped chamber is one track that holds both limbs before they meet', () => {
    const limbs = [-6, 6].map((x) => reversed(transformed(box([4, 6, 12]), { shift: [x, 0, 8] })));
    const bridge = reversed(transformed(box([16, 6, 4]), { shift: [0, 0, 16] }));
    // The limbs end where the bridge begins, so the three voids are one.
    const block = transformed(box([22, 10, 22]), { shift: [0, 0, 11] });
    const { tracks } = analysed(join(block, ...limbs, bridge));
    expect(tracks.length).toBe(1);
    const [track] = tracks;
    expect([track!.fromLayer, track!.toLayer]).toEqual([40, 359]);
    const at = (layer: number) => track!.states.filter((state) => state.layer === layer);
    expect(at(100).length).toBe(2);
    at(100).forEach((state, limb) => {
      const start = [limb === 0 ? -6 : 6, 0, 2];
      state.floorAt.forEach((value, axis) => {
        expect(value).toBeCloseTo(start[axis]!, 1);
      });
    });
    for (const state of at(100)) {
      expect(state.areaMm2).toBeCloseTo(24, 2);
      expect(state.volumeMm3).toBeCloseTo(24 * 61 * 0.05, 1);
    }
    expect(at(300).length).toBe(1);
    expect(at(300)[0]!.areaMm2).toBeCloseTo(96, 2);
    expect(at(300)[0]!.floorLayer).toBe(40);
    expect(at(300)[0]!.volumeMm3).toBeCloseTo(2 * 24 * 12 + 96 * 21 * 0.05, 1);

    // One vent in the left limb: the right one stays sealed until they meet.
    const vent = openingAt([-11, 0, 4], [1, 0, 0], 1, 4);
    const vented = analysed(join(block, ...limbs, bridge), [vent]).tracks[0]!;
    const sealedAt = (layer: number) =>
      vented.states.filter((state) => state.layer === layer && !state.joined).length;
    expect([sealedAt(45), sealedAt(150), sealedAt(279), sealedAt(280)]).toEqual([2, 1, 1, 0]);
  });

  test('two chambers joined by an opening breathe through each other', () => {
    const rooms = [-7, 7].map((x) => reversed(transformed(box([10, 10, 10]), { shift: [x, 0, 9] })));
    const block = transformed(box([32, 14, 18]), { shift: [0, 0, 9] });
    const neck = openingAt([-2.5, 0, 8], [1, 0, 0], 1, 5);
    const vent = openingAt([16, 0, 10], [-1, 0, 0], 1, 6);
    const mesh = join(block, ...rooms);
    const both = analysed(mesh, [neck, vent]).tracks;
    expect(both.length).toBe(2);
    expect(both.map((t) => joinsLayer(t))).toEqual([180, 180]);
    const last = both.map((track) => track.states.at(-1)!.openings);
    expect(last).toEqual([[0], [1]]);
    const neckOnly = analysed(mesh, [neck]).tracks;
    expect(neckOnly.map((t) => joinsLayer(t))).toEqual([null, null]);
    expect(neckOnly.every((track) => track.states.every((state) => state.openings.length === 0))).toBe(true);
  });

  test('a cup breathes through an opening into another that the sculpt itself joins to the outside', () => {
    const open = reversed(transformed(box([10, 10, 12]), { shift: [-7, 0, 6] }));
    const closed = reversed(transformed(box([10, 10, 8]), { shift: [7, 0, 8] }));
    // The left room pierces the underside of the block, which is raised.
    const block = transformed(box([32, 14, 18]), { shift: [0, 0, 9] });
    const mesh = transformed(join(block, open, closed), { shift: [0, 0, 5] });
    const neck = openingAt([-2.5, 0, 13], [1, 0, 0], 1, 5);
    const [left, right] = analysed(mesh, [neck]).tracks;
    expect(joinsLayer(left!)).toBe(100);
    expect(left!.states.at(-1)!.openings).toEqual([]);
    expect(joinsLayer(right!)).toBe(240);
    expect(right!.states.at(-1)!.openings).toEqual([0]);
    expect(right!.states.at(-1)!.sculptedMm2).toBe(0);
  });

  test('a vent in a level underside is seen although its mouth lies between two planes', () => {
    const mesh = transformed(join(box([14, 14, 10]), reversed(box([10, 10, 6]))), { shift: [0, 0, 10] });
    const vent = openingAt([1, 1, 5], [0, 0, 1], 1.5, 4, 1e-3);
    const raised = analysed(mesh, [vent]).tracks[0]!;
    expect(joinsLayer(raised)).toBe(raised.fromLayer);
    const standing = analysed(transformed(mesh, { shift: [0, 0, -5] }), [
      { ...vent, mouth: [1, 1, 0] as const },
    ]).tracks[0]!;
    expect(joinsLayer(standing)).toBe(null);
    for (const axis of [
      [0, 1, 0],
      [1, 0, 0],
    ] as const) {
      const side = openingAt([-7 * axis[0], -7 * axis[1], 10], axis, 1, 4, 1e-3);
      expect(joinsLayer(analysed(mesh, [side]).tracks[0]!), `${axis}`).toBe(180);
    }
  });

  test('chambers give their number to their cups, a sculpted void has none', () => {
    const outer = transformed(box([40, 20, 20]), { shift: [0, 0, 10] });
    const sculpted = reversed(transformed(box(4), { shift: [-16, 0, 10] }));
    const cavity = join(
      transformed(box(8), { shift: [0, 0, 10] }),
      transformed(box(8), { shift: [12, 0, 10] }),
    );
    const facetChamber = Uint32Array.from({ length: 24 }, (_, f) => (f < 12 ? 1 : 0));
    const frame = gridOf(join(outer, sculpted));
    const withFrame = join(cavity, onlyBounds(outer));
    const chambers = labelledRuns(gridOf(withFrame, 0.1, 0.05, true), facetChamber);
    const solid = subtractRuns(solidRuns(frame), chambers);
    const { graph } = buildVoidGraph(solid, chambers, uninterrupted);
    const tracks = sweepCups(graph, []);
    expect(tracks.map((t) => [Math.round(t.at[0]), t.chamber]).sort((a, b) => a[0]! - b[0]!)).toEqual([
      [-16, null],
      [0, 1],
      [12, 0],
    ]);
    const held = sumByChamber(graph, trappedLiquid(graph, []), 2);
    expect(held[0]).toBeCloseTo(512, 2);
    expect(held[1]).toBeCloseTo(512, 2);
  });
});

/** A mesh without facets that widens the bounds of what it is joined to. */
function onlyBounds(mesh: Mesh): Mesh {
  const { min, max } = boundsOf(mesh);
  return { positions: Float32Array.of(...min, ...max), triangles: new Uint32Array(0) };
}

describe('trapped liquid', () => {
  test('a sealed sphere keeps all, a drain at height z leaves the cap beyond it', () => {
    const shell = posed(hollowSphere(15, 1.5, 256), [0, 0, 0], 0);
    const radius = 13.5;
    const whole = (4 / 3) * Math.PI * radius ** 3;
    expect(Math.abs(sum(analysed(shell).trapped) / whole - 1)).toBeLessThan(0.002);
    for (const height of [6, 15, 22]) {
      const reach = Math.sqrt(15 ** 2 - (height - 15) ** 2);
      const drain = openingAt([reach, 0, height], [-1, 0, 0], 1.5, 6, 2);
      // Hanging, liquid stands up to the hole's film-side edge: a cap of what lies beyond z + 1.5.
      const cap = 15 + radius - (height + 1.5);
      const exact = (Math.PI * cap * cap * (3 * radius - cap)) / 3;
      const { trapped } = analysed(shell, [drain]);
      // One layer of the widest section is the resolution.
      expect(Math.abs(sum(trapped) - exact), `height ${height}`).toBeLessThan(0.05 * Math.PI * radius ** 2);
    }
  });

  test('a drain through the flat film side empties it, one through the plate side does not', () => {
    const mesh = transformed(join(box([14, 14, 10]), reversed(box([10, 10, 6]))), { shift: [0, 0, 10] });
    const below = openingAt([1, 1, 5], [0, 0, 1], 1.5, 4, 1e-3);
    const above = openingAt([1, 1, 15], [0, 0, -1], 1.5, 4, 1e-3);
    expect(sum(analysed(mesh, [below]).trapped)).toBeCloseTo(600, 1);
    expect(sum(analysed(mesh, [above]).trapped)).toBe(0);
    expect(analysed(mesh, [above]).links[0]!.opensAbove).toBe(true);
    expect(analysed(mesh, [below]).links[0]!.opensAbove).toBe(false);
  });

  test('beakers: mouth to the film runs empty, mouth to the plate stays full', () => {
    const beaker = cup(12, 10, 20, 2, 128);
    expect(sum(analysed(beaker).trapped)).toBe(0);
    const bell = transformed(beaker, { turn: [180, 0, 0], shift: [0, 0, 25] });
    expect(sum(analysed(bell).trapped) / (Math.PI * 100 * 18)).toBeCloseTo(1, 2);
  });
});

/** Openings as straight bars of cells, linked by brute force. */
function barLink(
  voxels: Voxels,
  bar: ReadonlySet<number>,
  graph: VoidGraph,
  regionOfCell: Int32Array,
): OpeningLink {
  const stride = voxels.width * voxels.rows;
  const layers = [...new Set([...bar].map((cell) => Math.floor(cell / stride)))].sort((a, b) => a - b);
  const regionStart = [0];
  const regions: number[] = [];
  for (const layer of layers) {
    const met = new Set<number>();
    for (const cell of bar) {
      if (Math.floor(cell / stride) === layer && regionOfCell[cell]! >= 0) met.add(regionOfCell[cell]!);
    }
    regions.push(...met);
    regionStart.push(regions.length);
  }
  expect(graph.layers).toBe(voxels.layers);
  return {
    firstLayer: layers[0]!,
    regionStart: Uint32Array.from(regionStart),
    regions: Uint32Array.from(regions),
  };
}

/** A bar of 2 × 2 cells along x, y or, seldom, z, from the border or a random cell inward. */
function randomBar(voxels: Voxels, seed: number): Set<number> {
  const size = [voxels.width, voxels.rows, voxels.layers];
  const hash = (n: number) => (Math.imul(seed * 31 + n, 2654435761) >>> 0) / 4294967296;
  const axis = Math.floor(hash(1) * 2.4);
  const from = size.map((n, i) => 2 + Math.floor(hash(2 + i) * (n - 5)));
  if (hash(9) < 0.7) from[axis] = 0;
  const length = 3 + Math.floor(hash(7) * 14);
  const bar = new Set<number>();
  for (let along = 0; along < length; along++) {
    for (let u = 0; u < 2; u++) {
      for (let v = 0; v < 2; v++) {
        const p = [...from];
        p[axis]! += along;
        p[(axis + 1) % 3]! += u;
        p[(axis + 2) % 3]! += v;
        if (p.every((c, i) => c < size[i]!)) bar.add(cellAt(voxels, p[0]!, p[1]!, p[2]!));
      }
    }
  }
  return bar;
}

/** Region number per void cell, read back from the labelled runs (−1 in solid). */
function regionsByCell(voxels: Voxels, labels: ReturnType<typeof buildVoidGraph>['labels']): Int32Array {
  const regionOfCell = new Int32Array(voxels.cells.length).fill(-1);
  const { runs, region } = voidRegions(labels);
  const { offsets, ends } = runs;
  for (let row = 0; row + 1 < offsets.length; row++) {
    for (let run = offsets[row]!; run < offsets[row + 1]!; run++) {
      const to = Math.min(voxels.width, ends[2 * run + 1]!);
      for (let x = Math.max(0, ends[2 * run]!); x < to; x++) {
        regionOfCell[row * voxels.width + x] = region[run]!;
      }
    }
  }
  return regionOfCell;
}

describe('cups and trapped liquid against cells', () => {
  test('random blobs with bars drilled through: every state agrees with a search from scratch', () => {
    let states = 0;
    let viaOpening = 0;
    for (let seed = 1; seed <= 80; seed++) {
      const voxels = randomBlobs(seed, 18, 16, 14, true);
      const { graph, labels } = buildVoidGraph(voxelRuns(voxels), null, uninterrupted);
      const regionOfCell = regionsByCell(voxels, labels);
      const bars = [randomBar(voxels, seed), randomBar(voxels, seed + 5000)];
      const links = bars.map((bar) => barLink(voxels, bar, graph, regionOfCell));
      const resolvable = { ...graph, rowSpan: graph.rowSpan.map(() => 3) };
      const got = sweepCups(resolvable, links)
        .flatMap((track) => track.states)
        .map((s) => [s.layer, s.areaMm2, s.volumeMm3, s.floorLayer, s.joined, s.sculptedMm2].join(' '))
        .sort();
      const want = statesByCells(voxels, bars);
      expect(got, `seed ${seed}`).toEqual(want.map((s) => s.line).sort());
      states += want.length;
      viaOpening += want.filter((s) => s.throughOpening).length;

      const trapped = trappedLiquid(graph, links);
      const drained = drainedByCells(voxels, bars);
      let kept = 0;
      voxels.cells.forEach((solid, cell) => {
        if (solid === 0 && drained[cell] === 0) kept++;
      });
      expect(sum(trapped), `seed ${seed}`).toBeCloseTo(kept, 6);
    }
    expect(states).toBeGreaterThan(300);
    expect(viaOpening).toBeGreaterThan(30);
  });
});

/** Cells a void cell joins through its faces; `isOpen` says which cells count. */
function faces({ width, rows, layers }: Voxels, cell: number): number[] {
  const x = cell % width;
  const row = Math.floor(cell / width) % rows;
  const layer = Math.floor(cell / (width * rows));
  return [
    x > 0 ? cell - 1 : -1,
    x < width - 1 ? cell + 1 : -1,
    row > 0 ? cell - width : -1,
    row < rows - 1 ? cell + width : -1,
    layer > 0 ? cell - width * rows : -1,
    layer < layers - 1 ? cell + width * rows : -1,
  ].filter((c) => c >= 0);
}

/** Everything reachable from `start` over void cells and, where a cell is shared, along the bars. */
function reach(
  voxels: Voxels,
  bars: readonly ReadonlySet<number>[],
  start: number[],
  allowed: (cell: number) => boolean,
) {
  const size = voxels.cells.length;
  const seen = new Set<number>(start);
  const queue = [...start];
  const visit = (node: number): void => {
    if (seen.has(node)) return;
    seen.add(node);
    queue.push(node);
  };
  for (const node of queue) {
    const medium = Math.floor(node / size);
    const cell = node % size;
    for (const next of faces(voxels, cell)) {
      if (!allowed(next)) continue;
      if (medium === 0 ? voxels.cells[next] === 0 : bars[medium - 1]!.has(next)) visit(medium * size + next);
    }
    if (medium > 0 && voxels.cells[cell] === 0) visit(cell);
    if (medium === 0) {
      for (let i = 0; i < bars.length; i++) if (bars[i]!.has(cell)) visit((i + 1) * size + cell);
    }
  }
  return seen;
}

function statesByCells(voxels: Voxels, bars: readonly ReadonlySet<number>[]) {
  const { layers, width, rows, cells } = voxels;
  const stride = width * rows;
  const enclosed = enclosedCells(voxels);
  const found: { line: string; throughOpening: boolean }[] = [];
  for (let layer = 0; layer < layers; layer++) {
    const printed = (cell: number) => cell < (layer + 1) * stride;
    const seen = new Set<number>();
    for (let start = layer * stride; start < (layer + 1) * stride; start++) {
      if (enclosed[start] === 0 || seen.has(start)) continue;
      const cupCells = reach(voxels, [], [start], (cell) => printed(cell) && enclosed[cell] === 1);
      let area = 0;
      let floor = layer;
      let sculpted = 0;
      for (const cell of cupCells) {
        seen.add(cell);
        if (cell >= layer * stride) area++;
        floor = Math.min(floor, Math.floor(cell / stride));
        for (const other of [cell - stride, cell + stride]) {
          if (other >= 0 && printed(other) && cells[other] === 0 && enclosed[other] === 0) sculpted++;
        }
      }
      const all = reach(voxels, bars, [start], printed);
      const joined = [...all].some((node) => node < cells.length && enclosed[node] === 0);
      found.push({
        line: [layer, area, cupCells.size, floor, joined, sculpted].join(' '),
        throughOpening: joined && sculpted === 0,
      });
    }
  }
  return found;
}

/** Void cells that liquid can leave without ever passing a lower layer than its own. */
function drainedByCells(voxels: Voxels, bars: readonly ReadonlySet<number>[]): Uint8Array {
  const { layers, width, rows, cells } = voxels;
  const stride = width * rows;
  const enclosed = enclosedCells(voxels);
  const drained = new Uint8Array(cells.length);
  for (let layer = 0; layer < layers; layer++) {
    const outside: number[] = [];
    for (let cell = layer * stride; cell < cells.length; cell++) {
      const open = enclosed[cell] === 0 || cell >= (layers - 1) * stride;
      if (cells[cell] === 0 && open) outside.push(cell);
    }
    for (const node of reach(voxels, bars, outside, (cell) => cell >= layer * stride)) {
      if (node >= layer * stride && node < (layer + 1) * stride) drained[node] = 1;
    }
  }
  return drained;
}

test('the graph keeps the order of its contract', () => {
  const { graph } = analysed(
    posed(join(sphere(6, 48), transformed(icosphere(4, 3), { shift: [7, 0, 3] })), [0, 0, 0], 1),
  );
  expect(graph.regionStart.length).toBe(graph.layers + 1);
  expect(graph.contactStart.length).toBe(graph.layers + 1);
  expect(graph.contactStart[1]).toBe(0);
  for (let layer = 1; layer < graph.layers; layer++) {
    for (let c = graph.contactStart[layer]!; c < graph.contactStart[layer + 1]!; c++) {
      expect(graph.contactBelow[c]! >= graph.regionStart[layer - 1]!).toBe(true);
      expect(graph.contactBelow[c]! < graph.regionStart[layer]!).toBe(true);
      expect(graph.contactAbove[c]! < graph.regionStart[layer + 1]!).toBe(true);
    }
  }
  for (let layer = 0; layer < 20; layer++) {
    expect(graph.regionStart[layer + 1]! - graph.regionStart[layer]!).toBe(1);
  }
});

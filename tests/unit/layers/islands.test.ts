import { describe, expect, test } from 'vitest';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import { componentFigures } from '../../../src/core/layers/componentFigures.ts';
import { findIslands } from '../../../src/core/layers/islands.ts';
import { layerComponents } from '../../../src/core/layers/layerComponents.ts';
import { measureLayers } from '../../../src/core/layers/measureLayers.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { subtractRuns } from '../../../src/core/rays/subtractRuns.ts';
import type { Vec3 } from '../../../src/core/vector.ts';
import { layerContacts } from '../../oracles/layerContacts.ts';
import {
  box,
  cone,
  cup,
  cylinder,
  hollowSphere,
  icosphere,
  join,
  random,
  transformed,
} from '../../shapes.ts';
import { boundsOf, gridOf, posed, solidOf } from './printing.ts';
import { piecesOfLayer, randomBlobs, type Voxels, voxelRuns } from './voxels.ts';

const OPTIONS = { selfSupportDeg: 45, ceilingMm2: 1e9, ceilingSpanMm: 1e9 };
const measured = (mesh: Mesh, dy = 0.1, dz = 0.05) =>
  measureLayers(solidOf(mesh, dy, dz), null, OPTIONS, uninterrupted);

describe('islands of closed forms', () => {
  test('a table standing on the plate has none; hung the other way round its legs are four', () => {
    const leg = box([3, 3, 10]);
    const legs = [-8, 8].flatMap((x) => [-5, 5].map((y) => transformed(leg, { shift: [x, y, 5.5] })));
    const table = join(transformed(box([22, 16, 2]), { shift: [0, 0, 11] }), ...legs);
    expect(measured(posed(table, [0, 0, 0], 0)).islands).toEqual([]);
    // One leg 2 mm short: it starts 40 layers up.
    const short = transformed(box([3, 3, 8]), { shift: [8, 5, 6.5] });
    const figures = measured(posed(join(table, short), [0, 0, 0], 0));
    expect(figures.islands).toEqual([]);
    const wobbly = join(transformed(box([22, 16, 2]), { shift: [0, 0, 11] }), ...legs.slice(0, 3), short);
    const starts = measured(posed(wobbly, [0, 0, 0], 0)).islands;
    expect(starts.length).toBe(1);
    expect(starts[0]!.layer).toBe(40);
    expect(starts[0]!.areaMm2).toBeCloseTo(9, 1);
    expect(starts[0]!.at[0]).toBeCloseTo(8, 3);
    expect(starts[0]!.at[1]).toBeCloseTo(5, 1);
    expect(starts[0]!.at[2]).toBeCloseTo(2, 9);
    expect(starts[0]!.inside).toBe(false);
    const raised = measured(posed(table, [0, 0, 0], 5)).islands;
    expect(raised.map((island) => island.layer)).toEqual([100, 100, 100, 100]);
  });

  test('a box raised on an edge that runs diagonally is one island, from the edge itself', () => {
    for (const heading of [0, 1, 7, 26, 30, 45, 63, 89, 90]) {
      const mesh = posed(transformed(box([30, 12, 9]), { turn: [45, 0, 0] }), [0, 0, heading], 2);
      const figures = measured(mesh);
      expect(figures.islands.length, `heading ${heading}`).toBe(1);
      expect(figures.islands[0]!.layer, `heading ${heading}`).toBeLessThanOrEqual(42);
    }
  });

  test('raised convex bodies in any turn are one island each and leave out nothing large', () => {
    const next = random(2024);
    const bodies: [string, Mesh, number][] = [
      ['box', box([14, 9, 6]), 40],
      ['slab', box([20, 15, 1.2]), 40],
      ['cylinder', cylinder(4, 12, 96), 25],
      ['cone', cone(6, 10, 96), 25],
      ['sphere', icosphere(7, 4), 6],
    ];
    for (const [name, mesh, rounds] of bodies) {
      for (let round = 0; round < rounds; round++) {
        const turn: Vec3 = [next() * 360, next() * 360, next() * 360];
        const figures = measured(posed(mesh, turn, 1));
        expect(figures.islands.length, `${name} turned ${turn}`).toBe(1);
        expect(figures.islands[0]!.layer, `${name} turned ${turn}`).toBeLessThanOrEqual(23);
      }
    }
  });

  test('the same bodies standing on the plate have none', () => {
    const next = random(77);
    for (let round = 0; round < 15; round++) {
      const turn: Vec3 = [next() * 360, next() * 360, next() * 360];
      const figures = measured(posed(box([14, 9, 6]), turn, 0));
      expect(figures.islands.length, `turned ${turn}`).toBeLessThanOrEqual(1);
      // A sharp tip may miss the first layer's rows; the island then starts within a layer or two.
      for (const island of figures.islands) expect(island.layer).toBeLessThanOrEqual(4);
    }
    expect(measured(posed(icosphere(7, 4), [10, 20, 30], 0)).islands).toEqual([]);
  });

  test('an island inside a chamber is told as inside, one under an arch is not', () => {
    const shell = posed(hollowSphere(10, 1.5, 96), [0, 0, 0], 0);
    const stub = transformed(box([2, 2, 4]), { shift: [0, 0, 14] });
    const hanging = transformed(box([2, 2, 8]), { shift: [0, 0, 17] });
    const inside = measured(join(shell, hanging));
    expect(inside.islands.length).toBe(1);
    expect(inside.islands[0]!.layer).toBe(260);
    expect(inside.islands[0]!.inside).toBe(true);
    expect(measured(join(shell, stub)).islands[0]!.inside).toBe(true);

    const arch = join(
      transformed(box([2, 6, 12]), { shift: [-8, 0, 6] }),
      transformed(box([2, 6, 12]), { shift: [8, 0, 6] }),
      transformed(box([18, 6, 2]), { shift: [0, 0, 13] }),
      transformed(box([2, 2, 4]), { shift: [0, 0, 11] }),
    );
    const under = measured(arch).islands;
    expect(under.length).toBe(1);
    expect(under[0]!.inside).toBe(false);
  });

  test('a clapper in a bell that opens toward the plate is not inside: a support reaches it', () => {
    const bell = transformed(cup(12, 10, 20, 2, 128), { turn: [180, 0, 0], shift: [0, 0, 23] });
    const clapper = transformed(box([2, 2, 8]), { shift: [0, 0, 18] });
    const hanging = measured(join(bell, clapper)).islands.filter(({ layer }) => layer === 280);
    expect(hanging.map(({ inside }) => inside)).toEqual([false]);
    const tray = transformed(box([4, 4, 1]), { shift: [0, 0, 8] });
    const stem = transformed(box([1, 22, 1]), { shift: [0, 0, 8] });
    const over = measured(join(bell, clapper, tray, stem)).islands.filter(({ layer }) => layer === 280);
    expect(over.map(({ inside }) => inside)).toEqual([true]);
  });

  test('a cavity given apart marks what starts over it', () => {
    const outer = posed(box([20, 20, 20]), [0, 0, 0], 0);
    const hollow = transformed(box([16, 16, 16]), { shift: [0, 0, 10] });
    const lattice = gridOf(outer).lattice;
    const solid = solidOf(outer);
    const cavityGrid = solidOf(join(outer, hollow));
    expect(cavityGrid.lattice).toEqual(lattice);
    const cavity = subtractRuns(solid, subtractRuns(solid, solidOn(hollow, outer)));
    const stub = solidOn(transformed(box([3, 3, 6]), { shift: [0, 0, 14] }), outer);
    const cavityLeft = subtractRuns(cavity, stub);
    const figures = measureLayers(subtractRuns(solid, cavityLeft), cavityLeft, OPTIONS, uninterrupted);
    expect(figures.islands.length).toBe(1);
    expect(figures.islands[0]!.inside).toBe(true);
    expect(figures.islands[0]!.layer).toBe(220);
    expect(figures.islands[0]!.areaMm2).toBeCloseTo(9, 1);
  });

  test('a hair thinner than 3 rows that hangs from the body is a speck, counted', () => {
    const body = transformed(box([10, 10, 4]), { shift: [0, 0, 8] });
    const post = transformed(box([3, 3, 8]), { shift: [-3, 0, 4] });
    const hair = transformed(box([0.15, 0.15, 3]), { shift: [3, 0, 5] });
    const figures = measured(join(body, post, hair));
    expect(figures.islands).toEqual([]);
    expect(figures.specksLeftOut).toBe(1);
  });
});

/** The solid of a mesh on the lattice of another. */
function solidOn(mesh: Mesh, frame: Mesh) {
  // Two facets of no area carry the bounds of the frame.
  const { min, max } = boundsOf(frame);
  const corners = Float32Array.of(...min, ...max);
  const positions = new Float32Array(mesh.positions.length + 6);
  positions.set(mesh.positions);
  positions.set(corners, mesh.positions.length);
  return solidOf({ positions, triangles: mesh.triangles });
}

/** The rule of `findIslands` by cells and sets: every quantity from its definition, nothing shared with the code. */
function islandsByCells(voxels: Voxels): { islands: number[]; specks: number; starts: number } {
  interface Family {
    layer: number;
    starts: number;
    told: boolean;
  }
  let familyOfCell = new Map<number, Family | 'grounded'>();
  const families = new Set<Family>();
  const islands: number[] = [];
  let starts = 0;
  const stride = voxels.width * voxels.rows;
  for (let layer = 0; layer < voxels.layers; layer++) {
    const current = new Map<number, Family | 'grounded'>();
    const pieces = piecesOfLayer(voxels, layer, 1).map((cells) => {
      const below = new Set(cells.flatMap((cell) => familyOfCell.get(cell - stride) ?? []));
      const span = new Set(cells.map((cell) => Math.floor(cell / voxels.width))).size;
      return { cells, below, span, family: null as Family | 'grounded' | null };
    });
    for (const piece of pieces) {
      const kin = [...piece.below];
      if (layer === 0 || kin.some((k) => k === 'grounded' || k.told)) piece.family = 'grounded';
      else if (kin.length === 0) {
        starts++;
        piece.family = { layer, starts: piece.span < 3 ? 1 : 0, told: false };
        families.add(piece.family);
      }
    }
    // Pieces over pending families become one family, transitively.
    const merged = new Map<Family, Family>();
    const headOf = (family: Family): Family => {
      let head = family;
      for (let up = merged.get(head); up; up = merged.get(head)) head = up;
      return head;
    };
    for (const piece of pieces) {
      if (piece.family !== null) continue;
      const kin = [...new Set([...piece.below].map((k) => headOf(k as Family)))];
      const head = kin[0]!;
      for (const other of kin.slice(1)) {
        merged.set(other, head);
        head.layer = Math.min(head.layer, other.layer);
        head.starts += other.starts;
        families.delete(other);
      }
    }
    for (const piece of pieces) {
      piece.family ??= headOf([...piece.below][0] as Family);
      if (piece.family !== 'grounded') piece.family = headOf(piece.family);
    }
    for (const piece of pieces) {
      if (piece.family === 'grounded' || piece.span < 3) continue;
      const family = piece.family as Family;
      if (!family.told) islands.push(family.layer);
      family.told = true;
    }
    for (const piece of pieces) {
      const family = piece.family!;
      const state = family !== 'grounded' && family.told && piece.span >= 3 ? 'grounded' : family;
      for (const cell of piece.cells) current.set(cell, state);
    }
    familyOfCell = current;
  }
  let specks = 0;
  for (const family of families) if (!family.told) specks += family.starts;
  return { islands: islands.sort((a, b) => a - b), specks, starts };
}

describe('islands against cells', () => {
  test('random blobs: starts, islands and specks agree', () => {
    let seen = 0;
    let speckSum = 0;
    for (let seed = 1; seed <= 250; seed++) {
      const voxels = randomBlobs(seed);
      const runs = voxelRuns(voxels);
      const components = layerComponents(runs, uninterrupted);
      const contacts = layerContacts(runs, components.component, uninterrupted);
      const found = findIslands(runs, components, contacts, componentFigures(runs, components));
      const want = islandsByCells(voxels);
      expect(
        found.starts.reduce((a, b) => a + b, 0),
        `seed ${seed}`,
      ).toBe(want.starts);
      const figures = measureLayers(runs, null, OPTIONS, uninterrupted);
      expect(
        figures.islands.map((island) => island.layer),
        `seed ${seed}`,
      ).toEqual(want.islands);
      expect(figures.specksLeftOut, `seed ${seed}`).toBe(want.specks);
      seen += want.islands.length;
      speckSum += want.specks;
    }
    expect(seen).toBeGreaterThan(100);
    expect(speckSum).toBeGreaterThan(30);
  });
});

import { readFileSync } from 'node:fs';
import { afterEach, beforeAll, describe, expect, test, vi } from 'vitest';
import type { Cavity } from '../../../src/core/field/cavity.ts';
import { closestPointScratch } from '../../../src/core/field/closestPoint.ts';
import { type BrickMeasurer, brickSide, type FieldKernel } from '../../../src/core/field/fieldKernel.ts';
import { BRICK_NODES } from '../../../src/core/field/fieldLattice.ts';
import { hollow, hollowSteps } from '../../../src/core/field/hollow.ts';
import { sliceSurface } from '../../../src/core/field/sliceSurface.ts';
import { typescriptKernel } from '../../../src/core/field/typescriptKernel.ts';
import { uninterrupted } from '../../../src/core/interrupter.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { compileKernel } from '../../../src/kernels/compileKernel.mjs';
import { wasmFieldKernel } from '../../../src/pipeline/wasmFieldKernel.ts';
import * as shapes from '../../shapes.ts';

const options = { wallMm: 1.5, leastChamberMm3: 1, maxNodes: 2e7 };
let compiled: FieldKernel;

beforeAll(async () => {
  compiled = wasmFieldKernel(new WebAssembly.Module(readFileSync(await compileKernel('fieldKernel'))));
});

afterEach(() => vi.restoreAllMocks());

/** Facets of all sizes and directions, some without area, that hang together nowhere or at random corners. */
function litter(seed: number): Mesh {
  const next = shapes.random(seed);
  const corners = Array.from({ length: 60 }, () => [30 * next(), 25 * next(), 20 * next()]);
  const near = (at: number[], size: number): number[] => at.map((value) => value + size * (next() - 0.5));
  for (let n = 0; n < 300; n++) corners.push(near(corners[Math.floor(corners.length * next())]!, 4 * next()));
  const pick = (): number => Math.floor(corners.length * next());
  const triangles = Array.from({ length: 250 }, (_, n) => {
    const [a, b] = [pick(), pick()];
    return n % 20 === 0 ? [a, b, b] : n % 25 === 0 ? [a, a, a] : [a, b, pick()];
  });
  return shapes.meshOf(corners.flat(), triangles.flat());
}

const figure = shapes.loadSharedMesh('human_cc0');
const meshes: [string, Mesh][] = [
  ['turned box', shapes.transformed(shapes.box(24), { turn: [20, 30, 40], shift: [500, -90, 33] })],
  ['box on the lattice', shapes.box(16)],
  ['sphere', shapes.icosphere(12, 4)],
  ['torus', shapes.torus(14, 5, 160, 80)],
  [
    'bell',
    shapes.lathe(
      [
        [0, -12],
        [8, -12],
        [8, -4],
        [1.2, -4],
        [1.2, 4],
        [6, 4],
        [6, 12],
        [0, 12],
      ],
      48,
    ),
  ],
  ['far from the origin', shapes.transformed(shapes.icosphere(9, 3), { shift: [9000, -9000, 9000] })],
  ...[1, 2, 3].map((seed): [string, Mesh] => [`litter of seed ${seed}`, litter(seed)]),
  ...(figure === null ? [] : [['human_cc0', figure] as [string, Mesh]]),
];

/** What a measurer tells of every brick of a mesh's slices. */
function measureAll(kernel: FieldKernel, mesh: Mesh, wallMm: number) {
  const requests = hollowSteps(mesh, { ...options, wallMm, slices: 2 }, uninterrupted).next().value;
  if (!Array.isArray(requests)) throw new Error('no slices');
  const sides: number[] = [];
  const measured: (Float32Array | Int32Array)[] = [];
  for (const request of requests) {
    const measurer = kernel(sliceSurface(request, uninterrupted));
    const [nx, ny, nz] = request.lattice.bricks;
    const to = nx * ny * Math.min(nz, request.layerTo + 1);
    for (let brick = nx * ny * Math.max(0, request.layerFrom - 1); brick < to; brick++) {
      const side = measurer.measureBrick(brick);
      sides.push(side);
      if (side === brickSide.passes) measured.push(measurer.depth.slice(), measurer.facet.slice());
    }
    measurer.close();
  }
  return { sides, measured };
}

describe('the compiled kernel', () => {
  test.each(meshes)(
    '%s: every node as its twin has it, to the last bit',
    (_, mesh) => {
      // A thin wall's nodes are many.
      for (const wallMm of mesh.triangles.length > 1e5 ? [1.5] : [1.2, 4]) {
        const fast = measureAll(compiled, mesh, wallMm);
        const twin = measureAll(typescriptKernel, mesh, wallMm);
        expect(fast.sides).toEqual(twin.sides);
        expect(Buffer.compare(bytesOf(fast.measured), bytesOf(twin.measured))).toBe(0);
        expect(twin.measured.length / 2).toBe(twin.sides.filter((side) => side === brickSide.passes).length);
      }
      const nodes = measureAll(typescriptKernel, mesh, 1.5).measured.filter((_, n) => n % 2 === 1);
      expect(nodes.some((facets) => facets.some((facet) => facet >= 0))).toBe(true);
    },
    120_000,
  );

  test.each(meshes)('%s: closest points as its twin finds them, to the last bit', (_, mesh) => {
    const [request] = hollowSteps(mesh, { ...options, slices: 1 }, uninterrupted).next().value as never[];
    const surface = sliceSurface(request!, uninterrupted);
    const [fast, twin] = [compiled(surface), typescriptKernel(surface)];
    const next = shapes.random(7);
    const facets = mesh.triangles.length / 3;
    const corner = (): Float32Array => {
      const vertex = mesh.triangles[Math.floor(mesh.triangles.length * next())]!;
      return mesh.positions.subarray(3 * vertex, 3 * vertex + 3);
    };
    for (let n = 0; n < 2000; n++) {
      const point = [...corner()].map((value) => value + 4 * (next() - 0.5));
      const [first, second] = [Math.floor(facets * next()), Math.floor((facets + 1) * next()) - 1];
      expect(answers(fast, point, first, second)).toEqual(answers(twin, point, first, second));
    }
    fast.close();
  });

  test.each(meshes.filter(([name]) => !name.startsWith('litter')))(
    '%s: the same cavity',
    (_, mesh) => {
      const hollowed = (kernel: FieldKernel) =>
        hollow(mesh, { ...options, slices: 3 }, uninterrupted, kernel);
      expect(hollowed(compiled)).toEqual(hollowed(typescriptKernel));
    },
    120_000,
  );

  test('takes memory that another slice has left, whatever stands in it', () => {
    const small = shapes.icosphere(5, 3);
    const before = cavityOf(small, compiled);
    cavityOf(shapes.torus(14, 5, 160, 80), compiled);
    expect(cavityOf(small, compiled)).toEqual(before);
  });

  test('two at work at once do not share memory', () => {
    const mesh = shapes.icosphere(8, 3);
    const [request] = hollowSteps(mesh, { ...options, slices: 1 }, uninterrupted).next().value as never[];
    const surface = sliceSurface(request!, uninterrupted);
    const [one, other] = [compiled(surface), compiled(surface)];
    one.probe.query.set([1, 2, 3]);
    other.probe.query.set([4, 5, 6]);
    expect([...one.probe.query]).toEqual([1, 2, 3]);
    one.close();
    other.close();
  });

  test('hands over to its twin where the memory cannot be had', () => {
    const mesh = shapes.icosphere(8, 3);
    const usual = cavityOf(mesh, compiled);
    class NoMemory {
      constructor() {
        throw new RangeError('could not allocate memory');
      }
    }
    vi.spyOn(WebAssembly, 'Memory').mockImplementation(NoMemory as never);
    // Twice: the first may still find what an earlier slice has left.
    const surface = hollowSteps(mesh, { ...options, slices: 1 }, uninterrupted).next().value as never[];
    const held = [1, 2].map(() => compiled(sliceSurface(surface[0]!, uninterrupted)));
    expect(held[1]!.depth.buffer.byteLength).toBe(4 * BRICK_NODES);
    expect(cavityOf(mesh, compiled)).toEqual(usual);
  });
});

function cavityOf(mesh: Mesh, kernel: FieldKernel): Cavity {
  const result = hollow(mesh, options, uninterrupted, kernel);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}

function bytesOf(columns: readonly (Float32Array | Int32Array)[]): Buffer {
  return Buffer.concat(
    columns.map(({ buffer, byteOffset, byteLength }) => Buffer.from(buffer, byteOffset, byteLength)),
  );
}

/** Everything a probe says of a point from two hints. */
function answers({ probe }: BrickMeasurer, point: number[], first: number, second: number): number[] {
  const found = closestPointScratch();
  const told: number[] = [];
  const tell = (): number => told.push(found.packed, found.squared, found.x, found.y, found.z);
  probe.query.set(point);
  probe.on(first, found);
  tell();
  if (second >= 0) probe.nearer(second, found);
  tell();
  probe.nearest(first, second, found);
  tell();
  return told;
}

import type { ClosestPoint } from '../core/field/closestPoint.ts';
import type { DepthProbe } from '../core/field/depthProbe.ts';
import type { BrickMeasurer, BrickSide, FieldKernel, FieldSurface } from '../core/field/fieldKernel.ts';
import { BRICK, BRICK_NODES } from '../core/field/fieldLattice.ts';
import { stepsAround } from '../core/field/nearestSamples.ts';
import { typescriptKernel } from '../core/field/typescriptKernel.ts';

/** What src/kernels/fieldKernel.ts exports. */
interface KernelFunctions {
  heapBase(): number;
  readTable(table: number): void;
  buildRings(low: number, high: number): void;
  measureBrick(brick: number): BrickSide;
  nearest(first: number, second: number): number;
  nearer(first: number, squared: number): number;
  on(facet: number): number;
}

const PAGE = 65536;
const MOST_PAGES = 65536;

/** Memory that no measurer holds; the collector may have it. */
let spare: WeakRef<WebAssembly.Memory> | null = null;

/**
 * The field's kernel as machine code, by its compiled module. Takes `typescriptKernel`'s place and
 * gives the same bits; hands over to it where the memory cannot be had.
 */
export const wasmFieldKernel =
  (module: WebAssembly.Module): FieldKernel =>
  (surface) => {
    const room = layOut(surface);
    const memory = takeMemory(room.bytes);
    return memory === null ? typescriptKernel(surface) : openMeasurer(module, memory, surface, room);
  };

function takeMemory(bytes: number): WebAssembly.Memory | null {
  const memory = spare?.deref();
  spare = null;
  const pages = Math.ceil(bytes / PAGE);
  if (pages > MOST_PAGES) return null;
  try {
    if (memory === undefined) return new WebAssembly.Memory({ initial: pages });
    const missing = pages - memory.buffer.byteLength / PAGE;
    if (missing > 0) memory.grow(missing);
    return memory;
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}

/** Addresses by name, and the bytes they need together. */
interface Room {
  readonly at: ReadonlyMap<string, number>;
  readonly bytes: number;
  readonly candidateRoom: number;
}

/** The kernel's own data ends below; what it leaves is checked when it is opened. */
const FIRST_FREE = 2 * PAGE;
const TABLE_BYTES = 8 * 64;

function layOut({ mesh, samples, grid, reachMm, lattice }: FieldSurface): Room {
  const corners = mesh.positions.length / 3;
  const facets = mesh.triangles.length / 3;
  const candidateRoom =
    4 + 4 * Math.ceil(mostCandidates(samples.start, stepsOf(reachMm, lattice.spacing).length) / 4);
  const sizes: [name: string, bytes: number][] = [
    ['query', 3 * 8],
    ['answer', 4 * 8],
    ['depth', 4 * BRICK_NODES],
    ['facet', 4 * BRICK_NODES],
    ['steps', 12 * stepsOf(reachMm, lattice.spacing).length],
    // Three lists of four columns, and the squares of one.
    ['candidates', 13 * 4 * candidateRoom],
    ['positions', 12 * corners],
    ['triangles', 12 * facets],
    ['ringStart', 4 * (corners + 1)],
    ['ringFacets', 12 * facets],
    ['reaches', facets],
    ['samplePoints', samples.points.byteLength],
    ['sampleFacet', samples.facet.byteLength],
    ['sampleStart', samples.start.byteLength],
    ['rowOffsets', grid.offsets.byteLength],
    ['rowX', grid.x.byteLength],
    ['rowJump', grid.jump.byteLength],
  ];
  const at = new Map<string, number>();
  let bytes = FIRST_FREE + TABLE_BYTES;
  for (const [name, size] of sizes) {
    at.set(name, bytes);
    bytes += 16 * Math.ceil(size / 16);
  }
  return { at, bytes, candidateRoom };
}

const stepsOf = (reachMm: number, spacing: number): ReturnType<typeof stepsAround> =>
  stepsAround(Math.ceil(reachMm / (BRICK * spacing)));

/** Samples that a brick and those round it hold at most. */
function mostCandidates(start: Uint32Array, bricks: number): number {
  let most = 0;
  for (let brick = 1; brick < start.length; brick++) most = Math.max(most, start[brick]! - start[brick - 1]!);
  return Math.min(start.at(-1)!, most * bricks);
}

function openMeasurer(
  module: WebAssembly.Module,
  memory: WebAssembly.Memory,
  surface: FieldSurface,
  room: Room,
): BrickMeasurer {
  const { exports } = new WebAssembly.Instance(module, { env: { memory } });
  const kernel = exports as unknown as KernelFunctions;
  if (kernel.heapBase() > FIRST_FREE) throw new Error('The kernel needs more room for its own data.');
  writeTable(memory, surface, room);
  kernel.readTable(FIRST_FREE);
  copyIn(memory, surface, room);
  kernel.buildRings(surface.low, surface.high);
  return {
    probe: probeOf(kernel, memory, room),
    depth: new Float32Array(memory.buffer, room.at.get('depth'), BRICK_NODES),
    facet: new Int32Array(memory.buffer, room.at.get('facet'), BRICK_NODES),
    measureBrick: (brick) => kernel.measureBrick(brick),
    close: () => {
      spare = new WeakRef(memory);
    },
  };
}

/** The order of src/kernels/memory.ts. */
const table = [
  'positions',
  'triangles',
  'corners',
  'facets',
  'ringStart',
  'ringFacets',
  'reaches',
  'samplePoints',
  'sampleFacet',
  'sampleStart',
  'rowOffsets',
  'rowX',
  'rowJump',
  'rowsInLayer',
  'steps',
  'stepCount',
  'candidates',
  'candidateRoom',
  'depth',
  'facet',
  'query',
  'answer',
  'bricksX',
  'bricksY',
  'bricksZ',
  'gridFrom',
  'originX',
  'originY',
  'originZ',
  'spacing',
  'level',
  'band',
  'reachMm',
  'settledMm',
] as const;

function writeTable(memory: WebAssembly.Memory, surface: FieldSurface, room: Room): void {
  const numbers = new Map([...room.at, ...numbersOf(surface, room)]);
  new Float64Array(memory.buffer, FIRST_FREE, table.length).set(table.map((name) => numbers.get(name)!));
}

function numbersOf(surface: FieldSurface, { candidateRoom }: Room): [name: string, value: number][] {
  const { mesh, lattice, grid, gridFrom, level, bandMm, reachMm, settledMm } = surface;
  return [
    ['corners', mesh.positions.length / 3],
    ['facets', mesh.triangles.length / 3],
    ['rowsInLayer', grid.lattice.rows],
    ['stepCount', stepsOf(reachMm, lattice.spacing).length],
    ['candidateRoom', candidateRoom],
    ['bricksX', lattice.bricks[0]],
    ['bricksY', lattice.bricks[1]],
    ['bricksZ', lattice.bricks[2]],
    ['gridFrom', gridFrom],
    ['originX', lattice.origin[0]],
    ['originY', lattice.origin[1]],
    ['originZ', lattice.origin[2]],
    ['spacing', lattice.spacing],
    ['level', level],
    ['band', bandMm],
    ['reachMm', reachMm],
    ['settledMm', settledMm],
  ];
}

function copyIn(memory: WebAssembly.Memory, surface: FieldSurface, { at }: Room): void {
  const { mesh, samples, grid, reachMm, lattice } = surface;
  const steps = Int32Array.from(stepsOf(reachMm, lattice.spacing).flat());
  const columns: [name: string, column: Float32Array | Uint32Array | Int32Array | Int8Array][] = [
    ['steps', steps],
    ['positions', mesh.positions],
    ['triangles', mesh.triangles],
    ['samplePoints', samples.points],
    ['sampleFacet', samples.facet],
    ['sampleStart', samples.start],
    ['rowOffsets', grid.offsets],
    ['rowX', grid.x],
    ['rowJump', grid.jump],
  ];
  const bytes = new Uint8Array(memory.buffer);
  for (const [name, { buffer, byteOffset, byteLength }] of columns)
    bytes.set(new Uint8Array(buffer, byteOffset, byteLength), at.get(name)!);
}

function probeOf(kernel: KernelFunctions, memory: WebAssembly.Memory, { at }: Room): DepthProbe {
  const answer = new Float64Array(memory.buffer, at.get('answer'), 4);
  const take = (packed: number, found: ClosestPoint): void => {
    found.packed = packed;
    found.squared = answer[0]!;
    found.x = answer[1]!;
    found.y = answer[2]!;
    found.z = answer[3]!;
  };
  return {
    query: new Float64Array(memory.buffer, at.get('query'), 3),
    nearest: (first, second, found) => take(kernel.nearest(first, second), found),
    nearer(first, found) {
      const packed = kernel.nearer(first, found.squared);
      if (packed >= 0) take(packed, found);
    },
    on: (facet, found) => take(kernel.on(facet), found),
  };
}

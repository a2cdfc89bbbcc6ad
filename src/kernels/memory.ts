// Addresses of what the host has laid out in the kernel's memory; `readTable` takes them before anything is called.
// Arrays are as their namesakes in src/core/field: elements of 4 bytes unless said otherwise.

/** Corners of the mesh, x, y, z, and of its facets, three numbers each. */
export let positions: usize = 0;
export let triangles: usize = 0;
export let corners: i32 = 0;
export let facets: i32 = 0;

/** Facets round each corner: `corners + 1` starts, then at most three places for each facet. */
export let ringStart: usize = 0;
export let ringFacets: usize = 0;
/** A byte for each facet. */
export let reaches: usize = 0;

/** Surface samples, sorted by brick. */
export let samplePoints: usize = 0;
export let sampleFacet: usize = 0;
export let sampleStart: usize = 0;

/** Crossings of the rays through the rows of nodes; a jump is one byte. */
export let rowOffsets: usize = 0;
export let rowX: usize = 0;
export let rowJump: usize = 0;
export let rowsInLayer: i32 = 0;

/** Steps to the bricks round a brick, x, y, z, in the order they are looked at. */
export let steps: usize = 0;
export let stepCount: i32 = 0;

/** Room for the candidates of a brick, x, y, z, square and number apart: at least every sample, and 4 to spare, each. */
export let candidates: usize = 0;
export let candidateRoom: i32 = 0;

/** The brick's depths and facets, by node. */
export let depth: usize = 0;
export let facet: usize = 0;

/** Three f64: the point asked for. Four f64: square, x, y, z of the closest point. */
export let query: usize = 0;
export let answer: usize = 0;

export let bricksX: i32 = 0;
export let bricksY: i32 = 0;
export let bricksZ: i32 = 0;
export let gridFrom: i32 = 0;
export let originX: f64 = 0;
export let originY: f64 = 0;
export let originZ: f64 = 0;
export let spacing: f64 = 0;
export let level: f64 = 0;
export let band: f64 = 0;
export let reachMm: f64 = 0;
export let settledMm: f64 = 0;

/** Takes all of the above from a table of f64, in the order they stand here. */
export function readTable(table: usize): void {
  positions = <usize>load<f64>(table, 0);
  triangles = <usize>load<f64>(table, 8);
  corners = <i32>load<f64>(table, 16);
  facets = <i32>load<f64>(table, 24);
  ringStart = <usize>load<f64>(table, 32);
  ringFacets = <usize>load<f64>(table, 40);
  reaches = <usize>load<f64>(table, 48);
  samplePoints = <usize>load<f64>(table, 56);
  sampleFacet = <usize>load<f64>(table, 64);
  sampleStart = <usize>load<f64>(table, 72);
  rowOffsets = <usize>load<f64>(table, 80);
  rowX = <usize>load<f64>(table, 88);
  rowJump = <usize>load<f64>(table, 96);
  rowsInLayer = <i32>load<f64>(table, 104);
  steps = <usize>load<f64>(table, 112);
  stepCount = <i32>load<f64>(table, 120);
  candidates = <usize>load<f64>(table, 128);
  candidateRoom = <i32>load<f64>(table, 136);
  depth = <usize>load<f64>(table, 144);
  facet = <usize>load<f64>(table, 152);
  query = <usize>load<f64>(table, 160);
  answer = <usize>load<f64>(table, 168);
  bricksX = <i32>load<f64>(table, 176);
  bricksY = <i32>load<f64>(table, 184);
  bricksZ = <i32>load<f64>(table, 192);
  gridFrom = <i32>load<f64>(table, 200);
  originX = load<f64>(table, 208);
  originY = load<f64>(table, 216);
  originZ = load<f64>(table, 224);
  spacing = load<f64>(table, 232);
  level = load<f64>(table, 240);
  band = load<f64>(table, 248);
  reachMm = load<f64>(table, 256);
  settledMm = load<f64>(table, 264);
}

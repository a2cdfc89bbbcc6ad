import { expect, test } from 'vitest';
import { cutByLayer } from '../../../src/core/layers/cutByLayer.ts';
import { subtractOpenings } from '../../../src/core/layers/subtractOpenings.ts';
import { withCutLayers } from '../../../src/core/layers/withCutLayers.ts';
import { type RunsByLayer, rowsOfLayer } from '../../../src/core/rays/runsByLayer.ts';
import { icosphere, transformed } from '../../shapes.ts';
import { openingAt, solidOf } from './printing.ts';

const solid = solidOf(transformed(icosphere(10, 4), { shift: [0, 0, 10] }), 0.2, 0.1);
const { lattice, offsets, ends } = solid;
const rows = { offsets, ends };
const block = (from: number, to: number) => ({ from, to, rows: { ...rows, base: from * lattice.rows } });
const parted: RunsByLayer = { lattice, blocks: [block(0, 40), block(40, 100), block(100, lattice.layers)] };
const openings = [openingAt([0, 0, 0], [0, 0, 1], 2, 6), openingAt([9, 0, 8], [-1, 0, 0], 1.5, 9)];

/** The runs of every row, layer by layer. */
const runsOf = (region: RunsByLayer): number[][] =>
  Array.from({ length: lattice.layers * lattice.rows }, (_, n) => {
    const { offsets: starts, ends: all, base } = rowsOfLayer(region, Math.floor(n / lattice.rows));
    const row = base + (n % lattice.rows);
    return [...all.subarray(2 * starts[row]!, 2 * starts[row + 1]!)];
  });

test('openings are cut out of blocks of layers as they are out of the whole', () => {
  const whole = subtractOpenings(solid, openings);
  const changed = cutByLayer(parted, openings);
  const cut = withCutLayers(parted, changed);
  const wanted = runsOf({ lattice, blocks: [{ from: 0, to: lattice.layers, rows: { ...whole, base: 0 } }] });
  expect(runsOf(cut)).toEqual(wanted);
  expect(runsOf(cut)).not.toEqual(runsOf(parted));
  // What no opening touches is not copied.
  expect(changed.map(({ from, to }) => to - from).reduce((a, b) => a + b)).toBeLessThan(0.7 * lattice.layers);
  expect(cut.blocks.at(-1)!.rows.ends).toBe(ends);
  expect(cutByLayer(parted, [])).toEqual([]);
  expect(withCutLayers(parted, []).blocks).toEqual(parted.blocks);
});

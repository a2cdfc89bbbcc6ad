import type { LayerBlock, RunsByLayer } from '../rays/runsByLayer.ts';

/** The solid with layers of it as `cutByLayer` gives them; the others stay the ones they are. */
export function withCutLayers(solid: RunsByLayer, cut: readonly LayerBlock[]): RunsByLayer {
  const { rows } = solid.lattice;
  const blocks = solid.blocks.flatMap((block) => {
    const own = cut.filter(({ from, to }) => from < block.to && block.from < to);
    const parts: LayerBlock[] = [];
    let at = block.from;
    const keep = (to: number): void => {
      const base = block.rows.base + (at - block.from) * rows;
      if (at < to) parts.push({ from: at, to, rows: { ...block.rows, base } });
    };
    for (const one of own) {
      keep(one.from);
      parts.push(one);
      at = one.to;
    }
    if (own.length === 0) return [block];
    keep(block.to);
    return parts;
  });
  return { ...solid, blocks };
}

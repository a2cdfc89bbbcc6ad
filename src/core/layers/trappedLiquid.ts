import type { OpeningLink } from './openingLinks.ts';
import type { VoidGraph } from './voidGraph.ts';

/**
 * Liquid left in each region, mm³, when the part hangs as printed: the plate on top, so liquid
 * falls toward higher layers. It can leave over a path of contacts and openings whose highest point
 * (lowest layer) is no higher than the region itself; else the region stays full. Levels are
 * layers, so this is exact for the graph. Outside regions hold nothing. The last layer is open to
 * the film side; a mouth flush with the plate is closed by it.
 *
 * Priority flood from the outside inward (Barnes, Lehman & Mulla, "Priority-flood", Computers &
 * Geosciences 62, 2014), with a bucket per layer for the queue: linear in regions, contacts and
 * opening layers.
 */
export function trappedLiquid(graph: VoidGraph, links: readonly OpeningLink[]): Float64Array {
  const regions = graph.area.length;
  const layerOfNode = layersOfNodes(graph, links);
  const { offsets, neighbours } = adjacency(graph, links, layerOfNode.length);
  // The lowest layer on the best path out; −1 while no path is known.
  const spill = new Int32Array(layerOfNode.length).fill(-1);
  const buckets: number[][] = Array.from({ length: graph.layers }, () => []);
  const enter = (node: number, level: number): void => {
    spill[node] = level;
    buckets[level]!.push(node);
  };
  const lastLayerStart = graph.regionStart[Math.max(0, graph.layers - 1)]!;
  for (let region = 0; region < regions; region++) {
    if (graph.enclosed[region] === 0 || region >= lastLayerStart) enter(region, layerOfNode[region]!);
  }
  let node = regions;
  for (const link of links) {
    node += link.regionStart.length - 1;
    if (link.opensAbove && link.regionStart.length > 1) enter(node - 1, layerOfNode[node - 1]!);
  }
  for (let level = graph.layers - 1; level >= 0; level--) {
    const bucket = buckets[level]!;
    for (let i = 0; i < bucket.length; i++) {
      const from = bucket[i]!;
      for (let entry = offsets[from]!; entry < offsets[from + 1]!; entry++) {
        const next = neighbours[entry]!;
        if (spill[next] === -1) enter(next, Math.min(level, layerOfNode[next]!));
      }
    }
  }
  const trapped = new Float64Array(regions);
  for (let region = 0; region < regions; region++) {
    if (spill[region]! < layerOfNode[region]!) trapped[region] = graph.area[region]! * graph.layerHeight;
  }
  return trapped;
}

/** Sums of a per-region amount over the regions of each chamber. */
export function sumByChamber(graph: VoidGraph, amount: Float64Array, chambers: number): number[] {
  const sums = new Array<number>(chambers).fill(0);
  for (let region = 0; region < amount.length; region++) {
    const chamber = graph.chamber[region]!;
    if (chamber >= 0 && chamber < chambers) sums[chamber]! += amount[region]!;
  }
  return sums;
}

/** Nodes are the regions, then the layers of each opening in turn. */
function layersOfNodes(graph: VoidGraph, links: readonly OpeningLink[]): Uint32Array {
  const regions = graph.area.length;
  const total = links.reduce((sum, link) => sum + link.regionStart.length - 1, regions);
  const layerOfNode = new Uint32Array(total);
  for (let layer = 0; layer < graph.layers; layer++) {
    layerOfNode.fill(layer, graph.regionStart[layer]!, graph.regionStart[layer + 1]!);
  }
  let node = regions;
  for (const link of links) {
    for (let i = 0; i + 1 < link.regionStart.length; i++) layerOfNode[node++] = link.firstLayer + i;
  }
  return layerOfNode;
}

function adjacency(
  graph: VoidGraph,
  links: readonly OpeningLink[],
  nodes: number,
): { offsets: Uint32Array; neighbours: Uint32Array } {
  const offsets = new Uint32Array(nodes + 1);
  forEachEdge(graph, links, (a, b) => {
    offsets[a]!++;
    offsets[b]!++;
  });
  let total = 0;
  for (let node = 0; node <= nodes; node++) {
    total += offsets[node]!;
    offsets[node] = total;
  }
  const neighbours = new Uint32Array(total);
  forEachEdge(graph, links, (a, b) => {
    neighbours[--offsets[a]!] = b;
    neighbours[--offsets[b]!] = a;
  });
  return { offsets, neighbours };
}

function forEachEdge(
  graph: VoidGraph,
  links: readonly OpeningLink[],
  visit: (a: number, b: number) => void,
): void {
  for (let contact = 0; contact < graph.contactArea.length; contact++) {
    visit(graph.contactBelow[contact]!, graph.contactAbove[contact]!);
  }
  let node = graph.area.length;
  for (const link of links) {
    const layers = link.regionStart.length - 1;
    for (let i = 0; i < layers; i++) {
      if (i > 0) visit(node + i - 1, node + i);
      for (let entry = link.regionStart[i]!; entry < link.regionStart[i + 1]!; entry++) {
        visit(node + i, link.regions[entry]!);
      }
    }
    node += layers;
  }
}

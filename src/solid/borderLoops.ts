import type { BorderEdges } from './borderEdges.ts';

/**
 * The border as loops in its direction, none of which meets a vertex twice (where a border does, it
 * is parted there). Null when it does not close.
 */
export function borderLoops({ from, to }: BorderEdges): number[][] | null {
  const onward = new Map<number, number[]>();
  from.forEach((start, edge) => {
    const ends = onward.get(start);
    if (ends === undefined) onward.set(start, [to[edge]!]);
    else ends.push(to[edge]!);
  });
  const loops: number[][] = [];
  for (const start of from) {
    const path: number[] = [];
    const place = new Map<number, number>();
    for (let at = start; ; ) {
      const met = place.get(at);
      if (met !== undefined) {
        const loop = path.splice(met);
        for (const vertex of loop) place.delete(vertex);
        loops.push(loop);
      }
      const next = onward.get(at)!.pop();
      if (next === undefined) {
        if (path.length > 0) return null;
        break;
      }
      place.set(at, path.length);
      path.push(at);
      if (!onward.has(next)) return null;
      at = next;
    }
  }
  return loops;
}

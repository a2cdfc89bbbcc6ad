import { expect, it } from 'vitest';
import { matchHalfEdges, noTwin } from '../../../src/core/mesh/matchHalfEdges.ts';
import { nextHalfEdge } from '../../../src/core/mesh/sortEdges.ts';
import { traceLoops } from '../../../src/core/mesh/traceLoops.ts';
import { icosphere, random } from '../../shapes.ts';

it('walks every open half-edge once, in closed loops without a vertex twice', () => {
  const sphere = icosphere(10, 3);
  for (let seed = 1; seed <= 40; seed++) {
    const next = random(seed);
    const share = 0.05 + 0.5 * next();
    const gone = Array.from({ length: sphere.triangles.length / 3 }, () => next() < share);
    const mesh = {
      positions: sphere.positions,
      triangles: sphere.triangles.filter((_, h) => !gone[Math.floor(h / 3)]),
    };
    const twin = matchHalfEdges(mesh);
    const { edges, start } = traceLoops(mesh, twin);
    expect(new Set(edges).size, `seed ${seed}`).toBe(twin.filter((h) => h === noTwin).length);
    expect(start.at(-1), `seed ${seed}`).toBe(edges.length);
    for (let i = 0; i + 1 < start.length; i++) {
      const loop = edges.subarray(start[i]!, start[i + 1]!);
      expect(new Set(Array.from(loop, (h) => mesh.triangles[h])).size, `seed ${seed}`).toBe(loop.length);
      loop.forEach((h, at) => {
        const end = mesh.triangles[nextHalfEdge(h)];
        expect(end, `seed ${seed}`).toBe(mesh.triangles[loop[(at + 1) % loop.length]!]);
      });
    }
  }
});

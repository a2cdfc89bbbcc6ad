import { joinMeshes } from '../core/mesh/joinMeshes.ts';
import type { Mesh } from '../core/mesh/mesh.ts';
import { polygonise } from './polygonise.ts';
import type { Body, Sculpt } from './sculpt.ts';
import { simplify } from './simplify.ts';

/** Every body of a part as one mesh of overlapping closed shells, in body order. */
export function carveMesh(sculpt: Sculpt): Mesh {
  return joinMeshes(sculpt.map(carveBody));
}

function carveBody(body: Body): Mesh {
  const fine = sawn(
    polygonise(body.field, body.box, body.cell, body.slack ?? 1),
    body.sawnAt ?? [],
    body.cell,
  );
  return sawn(simplify(fine, body.triangles), body.sawnAt ?? [], body.cell);
}

/** Puts vertices that lie on a saw cut, but for the lattice's rounding, exactly on it. */
function sawn(mesh: Mesh, heights: readonly number[], cell: number): Mesh {
  const positions = Float32Array.from(mesh.positions);
  for (let n = 2; n < positions.length; n += 3) {
    for (const height of heights) {
      if (Math.abs(positions[n]! - height) < cell * 0.1) positions[n] = height;
    }
  }
  return { positions, triangles: mesh.triangles };
}

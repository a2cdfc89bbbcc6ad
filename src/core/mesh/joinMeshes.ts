import type { Mesh } from './mesh.ts';

/** Meshes side by side in one, in their order; nothing is welded. */
export function joinMeshes(meshes: readonly Mesh[]): Mesh {
  const positions = new Float32Array(meshes.reduce((sum, mesh) => sum + mesh.positions.length, 0));
  const triangles = new Uint32Array(meshes.reduce((sum, mesh) => sum + mesh.triangles.length, 0));
  let p = 0;
  let t = 0;
  for (const mesh of meshes) {
    positions.set(mesh.positions, p);
    for (let at = 0; at < mesh.triangles.length; at++) triangles[t + at] = mesh.triangles[at]! + p / 3;
    p += mesh.positions.length;
    t += mesh.triangles.length;
  }
  return { positions, triangles };
}

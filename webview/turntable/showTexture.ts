import { DataTexture, FloatType, RGBAFormat } from 'three';
import type { ShowOutline } from '../../src/core/showSide/showOutline.ts';
import { showPane } from '../../src/core/showSide/showPane.ts';
import type { Vec3 } from '../../src/core/vector.ts';

/** Texels a row; the shader has the same number. */
const columns = 1024;
/** Texels that tell of an outline, before its corners. */
const headTexels = 4;

/**
 * Outlines of the show side as the shader reads them. First the heads, four texels each: origin and
 * number of corners; facing and first corner; u and the square of how far the corners reach; v and the
 * diameter. Then the corners: along u, along v, over the plane.
 */
export function showTexture(outlines: readonly ShowOutline[]): { texture: DataTexture; count: number } {
  const panes = outlines.flatMap((outline) => showPane(outline) ?? []);
  const texels: number[] = [];
  const add = ([x, y, z]: Vec3, w: number): void => void texels.push(x, y, z, w);
  let first = headTexels * panes.length;
  for (const { origin, facing, u, v, a, b, diameter } of panes) {
    const reach = a.reduce((most, x, at) => Math.max(most, x * x + b[at]! ** 2), 0);
    add(origin, a.length);
    add(facing, first);
    add(u, 1.001 * reach);
    add(v, diameter);
    first += a.length;
  }
  for (const { a, b, height } of panes) {
    for (let at = 0; at < a.length; at++) add([a[at]!, b[at]!, height[at]!], 0);
  }
  const rows = Math.max(1, Math.ceil(texels.length / 4 / columns));
  const data = new Float32Array(4 * columns * rows);
  data.set(texels);
  const texture = new DataTexture(data, columns, rows, RGBAFormat, FloatType);
  texture.needsUpdate = true;
  return { texture, count: panes.length };
}

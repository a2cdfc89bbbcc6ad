import { levelAt } from './levelAt.ts';
import type { StoredSurface } from './surfaceStore.ts';

/** How much of the part is drawn while it stands still, and how far that is from the whole. */
export function drawnText(outer: StoredSurface | null, cavity: StoredSurface | null, detail: number): string {
  const surfaces = [outer, cavity].filter((surface) => surface !== null);
  const finest = surfaces.flatMap(({ levels }) => levelAt(levels, detail) ?? []);
  const drawn = finest.reduce((sum, { triangleCount }) => sum + triangleCount, 0);
  const full = surfaces.reduce((sum, { fullTriangles }) => sum + fullTriangles, 0);
  if (full <= drawn) return '';
  const counts = `${words(drawn)} of ${words(full)} triangles`;
  if (!surfaces.every(({ refined }) => refined)) return `First picture: ${counts}. A finer one follows.`;
  const error = Math.max(...finest.map(({ errorMm }) => errorMm));
  return `Drawn with ${counts}, up to ${error.toPrecision(2)} mm off`;
}

const words = (count: number): string => count.toLocaleString('en');

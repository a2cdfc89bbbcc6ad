import type { StoredSurface } from './surfaceStore.ts';

/** How much of the part is drawn when it stands still, and how far that is from the whole. */
export function drawnText(outer: StoredSurface | null, cavity: StoredSurface | null): string {
  const surfaces = [outer, cavity].filter((surface) => surface !== null);
  const finest = surfaces.flatMap(({ levels }) => levels.slice(-1));
  const drawn = finest.reduce((sum, { triangleCount }) => sum + triangleCount, 0);
  const full = surfaces.reduce((sum, { fullTriangles }) => sum + fullTriangles, 0);
  if (full <= drawn) return '';
  const counts = `${words(drawn)} of ${words(full)} triangles`;
  if (!surfaces.every(({ refined }) => refined)) return `First picture: ${counts}. A finer one follows.`;
  const error = Math.max(...finest.map(({ errorMm }) => errorMm));
  return `Drawn with ${counts}, about ${error.toPrecision(1)} mm off`;
}

const words = (count: number): string => count.toLocaleString('en');

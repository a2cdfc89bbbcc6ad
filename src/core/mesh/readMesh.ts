import { type Interrupter, portion } from '../interrupter.ts';
import { type Result, success } from '../result.ts';
import { openStl, type StlLimits } from './openStl.ts';
import { readStl } from './readStl.ts';
import { type WeldedMesh, weldFacets } from './weld.ts';

/**
 * An STL file → a welded mesh, as `readStl` and `weld` give it, without a copy of the loose facets in
 * between. Fails as `readStl` does.
 */
export function readMesh(bytes: Uint8Array, limits: StlLimits, interrupter: Interrupter): Result<WeldedMesh> {
  const opened = openStl(bytes, limits, portion(interrupter, 0, 0.2));
  if (!opened.ok) return opened;
  const { welded, finite } = weldFacets(opened.value, portion(interrupter, 0.2, 1));
  if (finite) return success(welded);
  // Tells which facets are broken.
  const soup = readStl(bytes, limits, interrupter);
  return soup.ok ? success(welded) : soup;
}

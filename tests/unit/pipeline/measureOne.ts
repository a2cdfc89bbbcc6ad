import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FindingDraft } from '../../../src/core/kit/finding.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { PartFacts } from '../../../src/core/kit/partFacts.ts';
import { partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { measurePart } from '../../../src/pipeline/measurePart.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { toStl } from '../../shapes.ts';
import { thisThread } from './thisThread.ts';

export interface One {
  readonly facts: PartFacts;
  readonly findings: readonly FindingDraft[];
  /** N of the layer less the peel of its solid (film.peel 10 kPa). */
  suction(layer: number): number;
}

/** Measures and judges one mesh as the part `lantern` of a kit with these keys, in this thread, keeping nothing. */
export async function measureOne(mesh: Mesh, partKeys: string, kitKeys = ''): Promise<One> {
  const folder = mkdtempSync(join(tmpdir(), 'kitwright-one-'));
  try {
    writeFileSync(join(folder, 'lantern.stl'), toStl(mesh));
    const { manifest } = parseManifest(`kit: The Lamplighter
scale: { factor: 1 }
film: { peel: 10 }
${kitKeys}
parts:
  lantern: { file: lantern.stl, ${partKeys} }
`);
    if (manifest === null) throw new Error('the manifest of the test can not be read');
    const part = manifest.parts[0]!;
    const request = { ...partRequestOf(manifest, part, folder, false)!, kitDir: null };
    const result = await measurePart(request, thisThread, { keepMeshes: false, hashAgain: false });
    if (!result.ok) throw new Error(result.error.message);
    const { facts } = result.value;
    const { loads } = facts;
    return {
      facts,
      findings: partRules({ manifest, part, facts }),
      suction: (layer) => loads.pullN[layer]! - 0.01 * loads.areaMm2[layer]!,
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

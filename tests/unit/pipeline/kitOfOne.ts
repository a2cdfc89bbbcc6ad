import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { applyEdits, type TextEdit } from '../../../src/core/kit/edits.ts';
import type { Finding } from '../../../src/core/kit/finding.ts';
import { type Fix, fixesFor } from '../../../src/core/kit/fixes.ts';
import { numberFindings } from '../../../src/core/kit/numberFindings.ts';
import { parseManifest } from '../../../src/core/kit/parseManifest.ts';
import type { RemedyAsk } from '../../../src/core/kit/remedyAsk.ts';
import { partRules } from '../../../src/core/kit/rules/measuredRules.ts';
import type { Mesh } from '../../../src/core/mesh/mesh.ts';
import { proposalEdits } from '../../../src/core/propose/proposalEdits.ts';
import { placeAnswer, type RemedyAnswer, wallAnswer } from '../../../src/core/propose/remedyAnswer.ts';
import type { Result } from '../../../src/core/result.ts';
import { findPlace } from '../../../src/pipeline/findPlace.ts';
import { findWall } from '../../../src/pipeline/findWall.ts';
import { measurePart } from '../../../src/pipeline/measurePart.ts';
import { proposePart } from '../../../src/pipeline/proposePart.ts';
import { partRequestOf } from '../../../src/worker/partRequestOf.ts';
import { toSource } from '../../../src/worker/toSource.ts';
import { toStl } from '../../shapes.ts';
import { thisThread } from './thisThread.ts';

/** A kit of one part, checked, asked and mended by the same stages, rules and fixes as in the editor. */
export interface KitOfOne {
  check(text: string): Promise<readonly Finding[]>;
  fixes(text: string, finding: Finding): readonly Fix[];
  /** The text with a fix made, whatever has to be looked for first; null where nothing is found. */
  fixed(text: string, fix: Fix): Promise<string | null>;
  ask(text: string, ask: RemedyAsk): Promise<RemedyAnswer>;
  remove(): void;
}

export function kitOfOne(mesh: Mesh): KitOfOne {
  const folder = mkdtempSync(join(tmpdir(), 'kitwright-fixes-'));
  writeFileSync(join(folder, 'body.stl'), toStl(mesh));
  const parsed = (text: string) => {
    const { manifest, placeOf } = parseManifest(text);
    if (manifest === null) throw new Error('the manifest of the test can not be read');
    const part = manifest.parts[0]!;
    return { manifest, part, placeOf, request: partRequestOf(manifest, part, folder, false)! };
  };
  const ask = async (text: string, asked: RemedyAsk): Promise<RemedyAnswer> => {
    const { manifest, part, request } = parsed(text);
    if (asked.kind === 'find-wall') {
      return wallAnswer(text, part, manifest.limits, valueIn(await findWall(request, thisThread)));
    }
    const { opening } = asked;
    const found = await findPlace({ ...request, manifestText: text, opening }, thisThread);
    return placeAnswer(text, part, opening, valueIn(found));
  };
  return {
    async check(text) {
      const { manifest, part, placeOf, request } = parsed(text);
      const options = { keepMeshes: false, hashAgain: false };
      const measured = valueIn(await measurePart(request, thisThread, options));
      const { facts } = measured;
      return numberFindings(partRules({ manifest, part, facts }), {
        file: 'kit.yaml',
        placeOf,
        toSource: (_, at) => toSource(measured)(at),
      });
    },
    fixes: (text, { code, part, remedies, line, column }) =>
      fixesFor(text, { code, offset: offsetOf(text, line, column), part, remedies }, { files: [] }),
    async fixed(text, { edits, asks }) {
      if (asks === undefined) return applied(text, edits);
      const { ask: asked } = asks;
      if (asked.kind === 'propose-pose' || asked.kind === 'propose-split')
        throw new Error('poses and cuts are for the builder to choose');
      if (asked.kind === 'find-place' || asked.kind === 'find-wall')
        return applied(text, (await ask(text, asked)).edits);
      const { part, request } = parsed(text);
      const proposal = await proposePart({ ...request, manifestText: text, neighbours: [] }, thisThread);
      return applied(text, proposalEdits(text, part.name, part.openings, valueIn(proposal).choices));
    },
    ask,
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

const applied = (text: string, edits: readonly TextEdit[] | null): string | null =>
  edits === null || edits.length === 0 ? null : applyEdits(text, edits);

const offsetOf = (text: string, line: number, column: number): number =>
  text
    .split('\n')
    .slice(0, line - 1)
    .join('\n').length +
  (line > 1 ? 1 : 0) +
  column -
  1;

function valueIn<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}
